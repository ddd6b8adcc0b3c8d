#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/command.h"
#include "commands/shop.h"
#include "commands/touched.h"
#include "domain/text.h"

namespace trencher::commands {

int withdraw(Call& call) {
  std::vector<std::string> ids;
  Withdrawal word;
  call.words("ID", ids, "tins, glues or other things that are to be used no more, as F1");
  call.option("--why", "TEXT", word.why, "who withdraws it and why, as the notice says");
  call.parse();
  call.need(ids, "ID", "Which tins");
  call.need(word.why, "--why", "Why");
  word.why = checked_text(word.why, "--why");
  for (const std::string& id : ids) {
    need_tin(call, id, {"finish", "glue", "other"});
    if (std::find(word.ids.begin(), word.ids.end(), id) == word.ids.end()) word.ids.push_back(id);
  }
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  Json body = word.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("withdraw", body, stamp);
  const std::vector<TouchedPiece> pieces = pieces_touched(call, word.ids);
  writing.commit();
  Json codes = Json::array();
  std::vector<std::string> here, left;
  for (const TouchedPiece& piece : pieces) {
    codes.push(piece.code);
    (piece.left ? left : here).push_back(piece.code);
  }
  const int status =
      call.wrote(entry, join(word.ids, " "), {},
                 fmt::format("Withdrawn: {}, and every mix that holds it; entry {}. It goes on no "
                             "board, and no board that it is on is signed off or leaves.",
                             join_words(word.ids), entry),
                 Json::object().set("pieces", std::move(codes)));
  if (call.json()) return status;
  if (!here.empty()) call.say_list("Here:", join(here, "  "));
  if (!left.empty()) call.say_list("Have left:", join(left, "  ") + "; tell those who have them.");
  if (pieces.empty()) call.say("It is on no board.");
  return status;
}

}  // namespace trencher::commands
