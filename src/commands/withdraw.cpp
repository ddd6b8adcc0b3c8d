#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/command.h"
#include "commands/input_file.h"
#include "commands/shop.h"
#include "commands/softening.h"
#include "commands/supply.h"
#include "commands/touched.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// Leaves out what is withdrawn already, and says of each by which entry.
std::vector<std::string> not_yet_withdrawn(Call& call, const std::vector<std::string>& ids,
                                           std::vector<std::string>& already) {
  std::vector<std::string> out;
  already.clear();
  for (const std::string& id : ids) {
    if (std::find(out.begin(), out.end(), id) != out.end()) continue;
    const auto words = book::withdrawals_of(call.book(), id);
    if (words.empty())
      out.push_back(id);
    else
      already.push_back(fmt::format("{} is withdrawn already (entry {})", id, words.front().entry));
  }
  if (out.empty()) throw Error::request(join_words(already) + "; nothing is left to withdraw.");
  return out;
}

Json to_json(const std::vector<Supply>& found) {
  Json out = Json::array();
  for (const Supply& supply : found) {
    Json row = Json::object();
    row.set("id", supply.id).set("name", supply.name);
    out.push(row.set("supplier", supply.supplier).set("lot", supply.lot));
  }
  return out;
}

std::string said(const Withdrawal& word, std::int64_t entry) {
  const bool one = word.ids.size() == 1;
  const bool mixes = std::any_of(word.ids.begin(), word.ids.end(),
                                 [](const std::string& id) { return !id.starts_with('W'); });
  return fmt::format(
      "Withdrawn: {}{}; entry {}. {} on no board, and no board that {} on is signed off or leaves.",
      join_words(word.ids),
      !mixes ? ""
      : one  ? ", and every mix that holds it"
             : ", and every mix that holds one of them",
      entry, one ? "It goes" : "They go", one ? "it is" : "they are");
}

void say_boards(Call& call, const std::vector<TouchedPiece>& pieces, std::int64_t entry) {
  std::vector<std::string> here, left;
  for (const TouchedPiece& piece : pieces) (piece.left ? left : here).push_back(piece.code);
  if (!here.empty()) call.say_list("Here:", join(here, "  "));
  if (!left.empty())
    call.say_list("Have left:",
                  fmt::format("{}; 'trencher recall {} -o FOLDER' writes whom to tell.",
                              join(left, "  "), entry));
  if (pieces.empty()) call.say("On no board so far.");
}

}  // namespace

int withdraw(Call& call) {
  std::vector<std::string> ids, already;
  std::string notice;
  SupplyOptions supply;
  Withdrawal word;
  call.words("ID", ids,
             "tins, glues, other things or wood lots that are to be used no more, as F1");
  supply.declare(call);
  call.option("--why", "TEXT", word.why, "who withdraws it and why, as the notice says");
  call.option(
      "--notice", "FILE", notice,
      fmt::format("the supplier's paper, kept in the book; at most {} MB", most_paper_megabytes));
  call.parse();
  supply.check(ids);
  SupplySearch found;
  if (supply.given()) {
    found = supply.need(call);
    ids = ids_of_supplies(found.same);
    word.supplier = supply.supplier;
    word.lot = supply.lot;
  }
  call.need(ids, "ID", "Which tins or wood lots");
  call.need(word.why, "--why", "Why");
  word.why = checked_text(word.why, "--why");
  for (const std::string& id : ids) need_material(call, id);
  InputFile paper;
  if (!notice.empty()) {
    paper = read_input(notice, most_paper_megabytes);
    word.file_name = paper.name;
  }
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  word.ids = not_yet_withdrawn(call, ids, already);
  if (!notice.empty()) word.file_sha256 = writing.keep_file(paper.bytes);
  Json body = word.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("withdraw", body, stamp);
  const std::vector<TouchedPiece> pieces = pieces_touched(call, word.ids);
  writing.commit();
  Json codes = Json::array();
  for (const TouchedPiece& piece : pieces) codes.push(piece.code);
  Json more = Json::object().set("pieces", std::move(codes));
  if (supply.given()) more.set("alike", to_json(found.alike));
  const int status = call.wrote(entry, join(word.ids, " "), softening_findings("--why", word.why),
                                said(word, entry), more);
  if (call.json()) return status;
  for (const std::string& said : already) call.say(said + ".");
  for (const Supply& alike : found.alike)
    call.say_list("Looks alike, not withdrawn:", supply_words(alike) + ".");
  say_boards(call, pieces, entry);
  return status;
}

}  // namespace trencher::commands
