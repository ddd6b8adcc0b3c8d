#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/queries.h"
#include "commands/amend.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

int dealt(Call& call) {
  std::string typed, how;
  std::vector<std::string> codes;
  call.word(
      "ENTRY", typed,
      "number of the complaint, or of the entry that made something wrong, as 'due' lists it");
  call.words("PIECE", codes, "only these pieces; left out: all that it left open");
  call.option("--how", "TEXT", how, "what was done about it, as: told by phone");
  call.parse();
  call.need(typed, "ENTRY",
            Question("Which entry", [&] { return entries_to_choose(call); }).others());
  call.need(how, "--how", "What was done about it");
  how = checked_text(how, "--how");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const std::int64_t number = need_entry(call, typed).entry.number;
  std::map<std::string, std::vector<int>> open;  // by batch
  for (const book::OpenWrong& wrong : book::open_wrongs(call.book())) {
    if (wrong.entry != number) continue;
    const auto piece = book::find_piece(call.book(), wrong.piece);
    std::vector<int>& pieces = open[piece->batch];
    if (std::find(pieces.begin(), pieces.end(), piece->number) == pieces.end())
      pieces.push_back(piece->number);
  }
  if (open.empty())
    throw Error::request(
        fmt::format("Entry {} left nothing open; 'trencher due' lists what is.", number));
  std::map<std::string, std::vector<int>> chosen;
  for (const std::string& code : codes) {
    const Pieces pieces = need_pieces(call, code);
    for (const int piece : pieces.numbers) {
      const std::vector<int>& known = open[pieces.batch];
      if (std::find(known.begin(), known.end(), piece) != known.end())
        chosen[pieces.batch].push_back(piece);
      else if (!pieces.whole_batch)
        throw Error::request(fmt::format(
            "Entry {} left nothing open on {}; 'trencher due' lists what is.", number, code));
    }
  }
  if (codes.empty()) chosen = open;
  std::int64_t entry = 0;
  std::vector<std::string> shown;
  for (auto& [batch, pieces] : chosen) {
    std::sort(pieces.begin(), pieces.end());
    Dealt done;
    done.with = number;
    done.batch = batch;
    done.pieces = pieces;
    done.how = how;
    Json body = done.body();
    call.annotate(body);
    entry = writing.append("dealt", body, stamp);
    shown.push_back(fmt::format("{} of {}", name_pieces(pieces), batch));
  }
  writing.commit();
  const bool complaint = need_entry(call, typed).entry.kind == "complaint";
  return call.wrote(entry, std::to_string(number), {},
                    fmt::format("{} is dealt with for {}; entry {}.",
                                complaint ? fmt::format("The complaint of entry {}", number)
                                          : fmt::format("What entry {} made wrong", number),
                                join_words(shown), entry));
}

}  // namespace trencher::commands
