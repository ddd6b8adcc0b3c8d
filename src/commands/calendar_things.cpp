#include "commands/calendar_things.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <tuple>
#include <utility>

namespace trencher::commands {
namespace {

constexpr Instant at_last = Instant::max();

constexpr std::array<std::pair<std::string_view, std::string_view>, 7> named{
    {{engine::clamps_off, "clamps may come off"},
     {engine::flatten, "glue is at full strength: flatten, plane, sand"},
     {engine::handle, "may be handled"},
     {engine::pack, "may be packed"},
     {engine::food_contact, "first food contact, not before this day"},
     {"sign-off", "sign-off"},
     {"promised", "promised for this day"}}};

// A piece's steps and the turns that changed its way, in order.
PieceLog log_of(const BatchView& view, int piece) {
  PieceLog log;
  const auto& turns = view.facts.work.turns;
  auto turn = turns.begin();
  const auto take_turns_before = [&](std::pair<Instant, std::int64_t> moment) {
    for (; turn != turns.end() && std::pair(turn->at.at, turn->entry) < moment; ++turn) {
      if (!names_piece(turn->pieces, piece) || !(turn->schedule || !turn->unused)) continue;
      log.way = turn->entry;
      log.counts.clear();
    }
  };
  for (const Step& step : view.facts.work.steps) {
    if (!names_piece(step.pieces, piece)) continue;
    take_turns_before({step.at.at, step.entry});
    log.done.emplace_back(&step, log.next(step.kind));
    ++log.counts[step.kind];
    if (step.kind == "glue-up") {
      log.glued = true;
      log.worked.reset();
    } else if (step.kind != "move" && step.kind != "fit" && !log.worked) {
      log.worked = step.at.at;
    }
  }
  take_turns_before({at_last, 0});
  return log;
}

}  // namespace

bool is_named_date(std::string_view step) {
  return std::any_of(named.begin(), named.end(),
                     [&](const auto& item) { return item.first == step; });
}

bool follows_last_coat(std::string_view name) {
  return name == engine::handle || name == engine::pack || name == engine::food_contact;
}

bool takes_whole_day(const Thing& thing) {
  return thing.name == engine::food_contact || thing.name == "promised";
}

std::string words_of(const Thing& thing) {
  for (const auto& [name, words] : named)
    if (name == thing.name) return std::string(words);
  const auto dash = thing.name.rfind('-');
  const std::string kind = thing.name.substr(0, dash), number = thing.name.substr(dash + 1);
  if (kind == "rags") return "rags of entry " + number;
  return number == "1" && kind != "coat" ? kind : kind + " " + number;
}

std::string uid_of(const std::string& batch, const Thing& thing, const std::string& book) {
  const std::string way = thing.way ? fmt::format("w{}-", thing.way) : "";
  return fmt::format("{}-{}{}@{}", batch, way, thing.name, book);
}

Thing PieceLog::next(const std::string& step) const {
  if (is_named_date(step)) return {way, step};
  const auto found = counts.find(step);
  return {way, fmt::format("{}-{}", step, (found == counts.end() ? 0 : found->second) + 1)};
}

std::vector<Group> groups_of(const BatchView& view) {
  const engine::BatchWork& work = view.facts.work;
  using Key = std::tuple<std::vector<std::int64_t>, bool, bool, std::int64_t>;
  std::map<Key, std::vector<int>> alike;
  for (int piece = 1; piece <= view.batch().pieces; ++piece) {
    std::vector<std::int64_t> entries;
    for (const Step& step : work.steps)
      if (names_piece(step.pieces, piece)) entries.push_back(step.entry);
    for (const Turn& turn : work.turns)
      if (names_piece(turn.pieces, piece)) entries.push_back(-turn.entry);
    const Standing standing = standing_at(view, piece, at_last);
    alike[{std::move(entries), standing.here(), standing.scrapped.has_value(), standing.way}]
        .push_back(piece);
  }
  std::vector<Group> out;
  for (auto& [key, pieces] : alike) {
    const int first = pieces.front();
    Group group{
        std::move(pieces), log_of(view, first), standing_at(view, first, at_last), {}, false};
    group.progress = engine::progress(work, first);
    const std::string& next = group.progress.next_step;
    group.coats_are_on = next.empty() || next == "sign-off" || next == "inspect";
    out.push_back(std::move(group));
  }
  return out;
}

}  // namespace trencher::commands
