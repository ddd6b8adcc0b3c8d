#include <algorithm>
#include <map>
#include <set>

#include "book/queries.h"
#include "commands/shop.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

std::vector<std::string> join_lists(std::vector<std::string> a, const std::vector<std::string>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

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
               std::vector<engine::Stay>& stays) {
  const std::vector<Reading> readings =
      book::readings_at(call.book(), place, from, std::max(from, until));
  const auto stated = declared_over_time(call.book(), place);
  if (stated.empty()) stays.push_back({from, {}, readings});
  for (std::size_t i = 0; i < stated.size(); ++i) {
    const bool over = i + 1 < stated.size() && stated[i + 1].first <= from;
    if (over || (i > 0 && stated[i].first >= until)) continue;
    stays.push_back({i == 0 ? from : std::max(from, stated[i].first), stated[i].second, readings});
  }
}

engine::Conditions conditions_on(Call& call, const Itinerary& itinerary, const WhatIf& what_if) {
  std::vector<engine::Stay> stays;
  for (std::size_t i = 0; i < itinerary.size(); ++i) {
    const bool last = i + 1 == itinerary.size();
    add_stays(call, itinerary[i].second, itinerary[i].first,
              last ? call.now() + Seconds(86400) : itinerary[i + 1].first, stays);
  }
  if (what_if.any()) stays.push_back(what_if.from(call.now(), stays.back()));
  // The conditions may outlive no more than the call, which holds the zone.
  return {std::move(stays), [&zone = call.zone()](Instant at) { return zone.moment(at); },
          call.units()};
}

// Where each piece was from when on, with the readings of each place. Those that were in the same
// places share their conditions; the batch as a whole has those of most.
engine::PieceConditions conditions_of(Call& call, const engine::BatchWork& work,
                                      const WhatIf& what_if) {
  const bool together =
      std::none_of(work.steps.begin(), work.steps.end(),
                   [](const Step& step) { return step.kind == "move" && !step.pieces.empty(); }) &&
      work.turns.empty();
  if (together) return conditions_on(call, itinerary_of(work, 0), what_if);
  std::map<Itinerary, std::vector<int>> groups;
  for (int piece = 1; piece <= work.batch.pieces; ++piece)
    groups[itinerary_of(work, piece)].push_back(piece);
  const auto most = std::max_element(
      groups.begin(), groups.end(),
      [](const auto& a, const auto& b) { return a.second.size() < b.second.size(); });
  engine::PieceConditions out(conditions_on(call, most->first, what_if));
  for (const auto& [itinerary, pieces] : groups)
    if (itinerary != most->first) out.set(pieces, conditions_on(call, itinerary, what_if));
  return out;
}

enum class Depth { record, amounts };  // as record_of_batch(), or with what it leaves out

// Loads a tin, and what it was mixed from, with what is known of their kinds.
void load_tin(Call& call, const std::string& id, Depth depth, engine::SuitabilityFacts& facts,
              std::set<std::string>& subjects, KnownTins& known) {
  if (facts.work.tins.contains(id)) return;
  const bool amounts = depth == Depth::amounts;
  const auto [found, is_new] = known.by_id.try_emplace(id);
  auto& [tin, left] = found->second;
  if (is_new)
    tin = amounts ? book::find_tin(call.book(), id) : book::find_tin_unopened(call.book(), id);
  if (is_new && tin && amounts) left = amount_left(call, *tin);
  if (!tin) return;
  facts.work.tins[id] = *tin;
  subjects.insert(id);
  if (!tin->product.empty()) subjects.insert(tin->product);
  if (const FinishKind* kind = reference::find_finish(tin->kind))
    facts.finish_kinds[tin->kind] = *kind;
  if (const GlueKind* kind = reference::find_glue(tin->kind)) facts.glue_kinds[tin->kind] = *kind;
  if (const OtherKind* kind = reference::find_other(tin->kind))
    facts.other_kinds[tin->kind] = *kind;
  if (left) facts.left[id] = *left;
  for (const Drawn& part : tin->mixed_from) load_tin(call, part.tin, depth, facts, subjects, known);
}

// A word that withdraws a tin withdraws every mix that holds it.
void load_withdrawals(Call& call, engine::SuitabilityFacts& facts) {
  for (const auto& [withdrawn, tin] : facts.work.tins) {
    const auto words = book::withdrawals_of(call.book(), withdrawn);
    if (words.empty()) continue;
    for (const auto& [id, other] : facts.work.tins)
      if (engine::holds(facts.work.tins, id, withdrawn))
        facts.withdrawn.try_emplace(id, words.front());
  }
  for (const std::string& lot : facts.work.batch.wood)
    if (const auto words = book::withdrawals_of(call.book(), lot); !words.empty())
      facts.withdrawn.try_emplace(lot, words.front());
}

// Whether entries that are lost may bear on the batch: those that were written after the first of
// what it rests on. The shop's settings are among that.
engine::Losses losses_of(Call& call, const engine::SuitabilityFacts& facts) {
  book::Book& book = call.book();
  engine::Losses out;
  const std::vector<Rescued> rescues = book::rescues_of(book);
  if (rescues.empty()) return out;
  const Batch& batch = facts.work.batch;
  std::int64_t first = std::min(batch.entry, book::workshop_entry(book));
  const auto rests_on = [&](const std::string& id, std::int64_t entry) {
    first = std::min(first, entry);
    if (book::is_lost_thing(book, id)) out.things.push_back(id);
  };
  rests_on(batch.code, batch.entry);
  for (const auto& [id, tin] : facts.work.tins) {
    rests_on(id, tin.entry);
    for (const Product& product : book::product_versions(book, tin.product))
      first = std::min(first, product.entry);
    if (book::is_lost_thing(book, tin.product)) rests_on(tin.product, 0);
  }
  for (const WoodLot& lot : facts.wood) rests_on(lot.id, lot.entry);
  for (const Rescued& rescue : rescues) {
    for (const Gap& gap : rescue.gaps)
      if (gap.last >= first) out.gaps.push_back(gap);
    out.open_end = out.open_end || (rescue.open_end && rescue.entry >= first);
  }
  return out;
}

BatchRecord record_with(Call& call, const std::string& code,
                        const std::vector<std::string>& more_tins, Depth depth, KnownTins& known) {
  book::Book& book = call.book();
  engine::SuitabilityFacts facts;
  facts.work.batch = need_batch(call, code);
  facts.work.steps = book::steps_of(book, code);
  facts.work.turns = book::turns_of(book, code);
  const Batch& batch = facts.work.batch;
  std::vector<std::string> ids = join_lists(join_lists(batch.glue, batch.finish), more_tins);
  for (const Turn& turn : facts.work.turns) ids = join_lists(std::move(ids), turn.finish);
  for (const Step& step : facts.work.steps)
    for (const Drawn& part : step.drawn) ids.push_back(part.tin);
  std::set<std::string> subjects(batch.wood.begin(), batch.wood.end());
  for (const std::string& id : ids) load_tin(call, id, depth, facts, subjects, known);
  engine::resolve_mixes(facts.work.tins);
  load_withdrawals(call, facts);
  for (const std::string& id : batch.wood)
    if (const auto lot = book::find_wood(book, id)) {
      facts.wood.push_back(*lot);
      if (const auto species = find_species(book, lot->species))
        facts.species[lot->species] = *species;
    }
  facts.statements = book::statements_on(book, {subjects.begin(), subjects.end()});
  facts.work.losses = losses_of(call, facts);
  facts.units = call.units();
  return {std::move(facts), book::scraps_of(book, code)};
}

}  // namespace

std::string place_at(const engine::BatchWork& work, int piece, Instant at) {
  std::string place = work.batch.place;
  for (const auto& [from, where] : itinerary_of(work, piece))
    if (from <= at) place = where;
  return place;
}

std::optional<Amount> amount_left(Call& call, const Tin& tin) {
  if (!tin.amount) return {};
  const book::DrawnSum drawn = book::drawn_from(call.book(), tin.id);
  Amount left = *tin.amount;
  left.value -= left.measure == Amount::Measure::volume ? drawn.ul : drawn.mg;
  return left;
}

engine::Tins load_mix(Call& call, const std::string& id) {
  engine::SuitabilityFacts facts;
  std::set<std::string> subjects;
  KnownTins known;
  load_tin(call, id, Depth::amounts, facts, subjects, known);
  engine::resolve_mixes(facts.work.tins);
  return std::move(facts.work.tins);
}

engine::Conditions conditions_at(Call& call, const std::string& place, const WhatIf& what_if) {
  return conditions_on(call, {{call.now(), place}}, what_if);
}

BatchRecord record_of_batch(Call& call, const std::string& code) {
  KnownTins known;
  return record_with(call, code, {}, Depth::record, known);
}

namespace {

BatchView view_of(Call& call, const std::string& code, const std::vector<std::string>& more_tins,
                  const WhatIf& what_if, KnownTins& known) {
  BatchRecord record = record_with(call, code, more_tins, Depth::amounts, known);
  engine::SuitabilityFacts& facts = record.facts;
  facts.open_rags = book::open_rags(call.book(), code);
  if (!record.scraps.empty())  // findings are about what is left
    for (const book::PieceState& piece : book::pieces_of(call.book(), code))
      if (!piece.scrapped) facts.work.pieces.push_back(piece.number);
  engine::PieceConditions conditions = conditions_of(call, facts.work, what_if);
  return {std::move(record), std::move(conditions), book::gifts_of(call.book(), code)};
}

}  // namespace

BatchView view_batch(Call& call, const std::string& code, const std::vector<std::string>& more_tins,
                     const WhatIf& what_if) {
  KnownTins known;
  return view_of(call, code, more_tins, what_if, known);
}

BatchView view_batch(Call& call, const std::string& code, KnownTins& known) {
  return view_of(call, code, {}, {}, known);
}

}  // namespace trencher::commands
