#include "commands/air.h"

#include <algorithm>

#include "book/queries.h"

namespace trencher::commands {
namespace {

using Itinerary = std::vector<std::pair<Instant, std::string>>;  // from when on, at which place

Itinerary itinerary_of(const engine::BatchWork& work, int piece) {
  Instant first = work.batch.at.at;
  for (const Step& step : work.steps) first = std::min(first, step.at.at);
  Itinerary out{{first, work.batch.place}};
  for (const Step& step : work.steps)
    if (step.kind == "move" && names_piece(step.pieces, piece))
      out.emplace_back(step.at.at, step.place);
  for (const Turn& turn : work.turns)
    if (!turn.place.empty() && names_piece(turn.pieces, piece))
      out.emplace_back(turn.at.at, turn.place);
  std::stable_sort(out.begin(), out.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  return out;
}

// What is declared of a place from when on. What is declared first counts for the time before too.
std::vector<std::pair<Instant, Place>> declared_over_time(const book::Book& book,
                                                          const std::string& id) {
  std::vector<std::pair<Instant, Place>> out;
  for (const auto& [at, place] : book::place_statements(book, id)) {
    out.emplace_back(at.at, place);
    if (out.size() < 2) continue;
    // What is left out stays as it was.
    const Place& before = out[out.size() - 2].second;
    if (!place.temp) out.back().second.temp = before.temp;
    if (!place.rh) out.back().second.rh = before.rh;
  }
  for (std::size_t i = out.size(); i-- > 1;) {
    Place& before = out[i - 1].second;
    if (!before.temp) before.temp = out[i].second.temp;
    if (!before.rh) before.rh = out[i].second.rh;
  }
  return out;
}

void add_stays(Call& call, const std::string& place, Instant from, Instant until,
               KnownPlaces& known, std::vector<engine::SharedStay>& stays) {
  const KnownPlaces::Known& air = known.at(call, place, from, until);
  for (std::size_t i = 0; i < air.stated.size(); ++i) {
    const bool over = i + 1 < air.stated.size() && air.stated[i + 1].first <= from;
    if (over || (i > 0 && air.stated[i].first >= until)) continue;
    stays.push_back({i == 0 ? from : std::max(from, air.stated[i].first), air.stated[i].second});
  }
}

engine::Conditions conditions_on(Call& call, const Itinerary& itinerary, const WhatIf& what_if,
                                 KnownPlaces& known) {
  std::vector<engine::SharedStay> stays;
  for (std::size_t i = 0; i < itinerary.size(); ++i) {
    const bool last = i + 1 == itinerary.size();
    add_stays(call, itinerary[i].second, itinerary[i].first,
              last ? call.now() + Seconds(86400) : itinerary[i + 1].first, known, stays);
  }
  if (what_if.any()) stays.push_back(what_if.from(call.now(), stays.back()));
  // The conditions may outlive no more than the call, which holds the zone.
  return {std::move(stays), [&zone = call.zone()](Instant at) { return zone.moment(at); },
          call.units()};
}

}  // namespace

const KnownPlaces::Known& KnownPlaces::at(Call& call, const std::string& place, Instant from,
                                          Instant until) {
  until = std::max(from, until);
  const auto found = by_id_.find(place);
  const Known* known = found == by_id_.end() ? nullptr : &found->second;
  if (known && known->from <= from && known->until >= until) return *known;
  Known wider{known ? std::min(known->from, from) : from,
              known ? std::max(known->until, until) : until,
              {}};
  const std::vector<Reading> readings =
      book::readings_at(call.book(), place, wider.from, wider.until);
  auto stated = declared_over_time(call.book(), place);
  if (stated.empty()) stated.emplace_back(wider.from, Place{});
  for (const auto& [at, of] : stated)
    wider.stated.emplace_back(at, std::make_shared<const engine::PlaceLog>(of, readings));
  return by_id_[place] = std::move(wider);
}

engine::PieceConditions conditions_of(Call& call, const engine::BatchWork& work,
                                      const WhatIf& what_if, KnownPlaces& known) {
  const bool together =
      std::none_of(work.steps.begin(), work.steps.end(),
                   [](const Step& step) { return step.kind == "move" && !step.pieces.empty(); }) &&
      work.turns.empty();
  if (together) return conditions_on(call, itinerary_of(work, 0), what_if, known);
  std::map<Itinerary, std::vector<int>> groups;
  for (int piece = 1; piece <= work.batch.pieces; ++piece)
    groups[itinerary_of(work, piece)].push_back(piece);
  const auto most = std::max_element(
      groups.begin(), groups.end(),
      [](const auto& a, const auto& b) { return a.second.size() < b.second.size(); });
  engine::PieceConditions out(conditions_on(call, most->first, what_if, known));
  for (const auto& [itinerary, pieces] : groups)
    if (itinerary != most->first) out.set(pieces, conditions_on(call, itinerary, what_if, known));
  return out;
}

engine::Conditions conditions_at(Call& call, const std::string& place, const WhatIf& what_if) {
  KnownPlaces known;
  return conditions_on(call, {{call.now(), place}}, what_if, known);
}

std::string place_at(const engine::BatchWork& work, int piece, Instant at) {
  std::string place = work.batch.place;
  for (const auto& [from, where] : itinerary_of(work, piece))
    if (from <= at) place = where;
  return place;
}

}  // namespace trencher::commands
