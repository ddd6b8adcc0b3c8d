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
  engine::PieceConditions conditions = conditions_of(call, facts.work, what_if, known.places);
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
