#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/kinds.h"
#include "book/queries.h"
#include "commands/amend.h"
#include "commands/claims.h"
#include "commands/command.h"
#include "commands/shop.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// Boards of one kept answer about which the record says the same now.
struct Told {
  const KeptAnswer* answer = nullptr;
  std::vector<int> pieces;
  bool replaced = false;                     // a later answer about them is kept
  std::vector<MadeWrong::Change> changes{};  // what the record says otherwise now
  std::vector<std::int64_t> by{};            // entries since then that made it wrong
};

std::vector<std::string> codes_of(const Told& told) {
  return book::piece_codes(told.answer->batch, told.pieces);
}

std::vector<std::int64_t> made_wrong_by(const std::vector<book::OpenWrong>& open,
                                        const std::string& code) {
  std::vector<std::int64_t> out;
  for (const book::OpenWrong& wrong : open)
    if (wrong.piece == code && wrong.what == "answer") out.push_back(wrong.entry);
  return out;
}

std::vector<Told> told_of(Call& call, const KeptAnswer& answer,
                          const std::vector<book::OpenWrong>& open) {
  const std::vector<KeptAnswer> all = book::answers_of(call.book(), answer.batch);
  const std::map<int, Claim> now = claims_of(call, view_batch(call, answer.batch), answer.pieces);
  std::vector<Told> out;
  for (const int piece : answer.pieces) {
    const bool replaced = latest_answer(all, piece)->entry != answer.entry;
    const auto changed = changes(answer, now.at(piece));
    const auto by = made_wrong_by(open, book::piece_codes(answer.batch, {piece}).front());
    const auto same = std::find_if(out.begin(), out.end(), [&](const Told& other) {
      return other.replaced == replaced && other.changes == changed && other.by == by;
    });
    if (same == out.end())
      out.push_back({&answer, {piece}, replaced, changed, by});
    else
      same->pieces.push_back(piece);
  }
  return out;
}

Json row_of(const Told& told) {
  Json changed = Json::array();
  for (const MadeWrong::Change& change : told.changes)
    changed.push(Json::object()
                     .set("about", change.about)
                     .set("before", change.before)
                     .set("now", change.now));
  Json row = Json::object();
  row.set("entry", told.answer->entry).set("at", iso(told.answer->at));
  row.set("pieces", Json::list(codes_of(told))).set("position", told.answer->position);
  row.set("replaced", told.replaced).set("outdated", !told.changes.empty());
  return row.set("changes", std::move(changed)).set("by", Json::list(told.by));
}

void print(Call& call, const Told& told) {
  call.say(fmt::format("Entry {}, {}: {}.{}", told.answer->entry, show(told.answer->at),
                       join(codes_of(told), " "), told.replaced ? " A later answer is kept." : ""));
  for (const std::string& words : words_of_changes(told.changes)) call.say_list("  -", words);
  if (!told.by.empty())
    call.say_list("  Made wrong by:",
                  fmt::format("entry {}; 'trencher due' has it until it is dealt with.",
                              join_numbers(told.by)));
}

}  // namespace

int answers(Call& call) {
  bool outdated = false;
  call.flag("--outdated", outdated, "only those that say otherwise than the record now");
  call.parse();
  const std::vector<book::OpenWrong> open = book::open_wrongs(call.book());
  const std::vector<KeptAnswer> kept = book::kept_answers(call.book());
  Json out = Json::array();
  int shown = 0;
  for (const KeptAnswer& answer : kept)
    for (const Told& told : told_of(call, answer, open)) {
      if (outdated && (told.replaced || told.changes.empty())) continue;
      ++shown;
      out.push(row_of(told));
      if (!call.json()) print(call, told);
    }
  if (!call.json() && shown == 0)
    call.say(kept.empty() ? "No answer is kept. 'trencher answer PIECE --about … --keep' keeps one."
                          : "No kept answer says otherwise than the record now.");
  if (!call.json() && outdated && shown)
    call.say("Whoever was answered is to be told; who that was, the book does not know.");
  return call.done(out);
}

}  // namespace trencher::commands
