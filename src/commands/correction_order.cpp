#include "commands/correction_order.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/kinds.h"
#include "commands/shop.h"
#include "domain/code.h"
#include "domain/error.h"

namespace trencher::commands {
namespace {

// A turn in the life of pieces, or a step.
struct Event {
  std::int64_t entry = 0;
  Moment at;
  std::string kind;
  std::vector<int> pieces;  // empty: all
};

std::vector<Event> events_of(const book::Book& book, const std::string& batch) {
  std::vector<Event> out;
  const auto add = [&](const auto& all, const auto& kind_of) {
    for (const auto& one : all)
      if (const std::string kind = kind_of(one); !kind.empty())
        out.push_back({one.entry, one.at, kind, one.pieces});
  };
  const book::Fate fate = book::fate_of(book, batch);
  add(fate.sign_offs, [](const SignOff&) { return "sign-off"; });
  add(fate.gifts, [](const Gift&) { return "give"; });
  add(fate.turns,
      [](const Turn& turn) { return turn.kind == Turn::Kind::take_back ? "take-back" : ""; });
  add(book::steps_of(book, batch), [](const Step& step) { return step.kind; });
  return out;
}

// A piece of both, or nothing.
std::optional<int> shared_piece(const std::vector<int>& pieces, const std::vector<int>& others) {
  for (const int piece : pieces)
    if (names_piece(others, piece)) return piece;
  return {};
}

void demand_turns(Call& call, const book::Effective& target, const std::string& batch,
                  const Moment& when) {
  const std::vector<Event> events = events_of(call.book(), batch);
  const auto own = std::find_if(events.begin(), events.end(), [&](const Event& event) {
    return event.entry == target.entry.number;
  });
  if (own == events.end()) return;
  for (const Event& other : events) {
    const bool earlier = other.entry < own->entry;
    // A step entered later reopens a sign-off by itself.
    if (other.entry == own->entry || (book::is_step(other.kind) && !earlier)) continue;
    const bool fitted = earlier ? other.at.at <= own->at.at : own->at.at <= other.at.at;
    const bool fits = earlier ? other.at.at <= when.at : when.at <= other.at.at;
    if (fits || !fitted) continue;
    if (const auto piece = shared_piece(own->pieces, other.pieces))
      throw Error::request(fmt::format(
          "The {} on {} would lie {} the {} of piece {} on {} (entry {}); correct that entry "
          "first.",
          own->kind, show(when), earlier ? "before" : "after", other.kind,
          book::piece_codes(batch, {*piece}).front(), show(other.at), other.entry));
  }
}

}  // namespace

void demand_order(Call& call, const book::Effective& target, const Json& mended,
                  const Moment& when) {
  const std::string& kind = target.entry.kind;
  if (kind == "open") {
    const Tin tin = need_tin(call, mended.text("tin"), {"finish", "glue", "other"});
    if (when.at < tin.at.at)
      throw Error::request(fmt::format(
          "{} would be opened on {}, before it came in on {} (entry {}); correct that entry first.",
          tin.id, show(when), show(tin.at), tin.entry));
  } else if (book::is_step(kind)) {
    if (const Batch batch = need_batch(call, mended.text("batch")); when.at < batch.at.at)
      throw Error::request(fmt::format(
          "The {} on {} would lie before batch {} was begun on {} (entry {}); correct that entry "
          "first.",
          kind, show(when), batch.code, show(batch.at), batch.entry));
  } else if (kind == "sign-off" || kind == "give" || kind == "take-back") {
    demand_turns(call, target, mended.text("batch"), when);
  }
}

}  // namespace trencher::commands
