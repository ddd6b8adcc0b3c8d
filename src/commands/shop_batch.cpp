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

template <typename Value, typename Look>
const Value& look_up(std::map<std::string, Value>& known, const std::string& id, Look look) {
  const auto [found, is_new] = known.try_emplace(id);
  if (is_new) found->second = look();
  return found->second;
}

std::optional<Amount> left_in(const Tin& tin, const book::DrawnSum& drawn) {
  if (!tin.amount) return {};
  Amount left = *tin.amount;
  left.value -= left.measure == Amount::Measure::volume ? drawn.ul : drawn.mg;
  return left;
}

KnownShop::KnownTin find_known_tin(Call& call, const std::string& id, Depth depth) {
  KnownShop::KnownTin out{book::find_tin_unopened(call.book(), id), {}};
  if (!out.tin || depth == Depth::record) return out;
  const book::DrawnSum drawn = book::drawn_from(call.book(), id);
  out.tin->opened = drawn.first;
  out.left = left_in(*out.tin, drawn);
  return out;
}

// Loads a tin, and what it was mixed from, with what is known of their kinds.
void load_tin(Call& call, const std::string& id, Depth depth, engine::SuitabilityFacts& facts,
              std::set<std::string>& subjects, KnownShop& known) {
  if (facts.work.tins.contains(id)) return;
  const auto& [tin, left] =
      look_up(known.tins, id, [&] { return find_known_tin(call, id, depth); });
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
void load_withdrawals(Call& call, engine::SuitabilityFacts& facts, KnownShop& known) {
  const auto words_of = [&](const std::string& id) -> const std::vector<Withdrawal>& {
    return look_up(known.withdrawals, id, [&] { return book::withdrawals_of(call.book(), id); });
  };
  for (const auto& [withdrawn, tin] : facts.work.tins) {
    const auto& words = words_of(withdrawn);
    if (words.empty()) continue;
    for (const auto& [id, other] : facts.work.tins)
      if (engine::holds(facts.work.tins, id, withdrawn))
        facts.withdrawn.try_emplace(id, words.front());
  }
  for (const std::string& lot : facts.work.batch.wood)
    if (const auto& words = words_of(lot); !words.empty())
      facts.withdrawn.try_emplace(lot, words.front());
}

// Whether entries that are lost may bear on the batch: those that were written after the first of
// what it rests on. The shop's settings are among that.
engine::Losses losses_of(Call& call, const engine::SuitabilityFacts& facts, KnownShop& known) {
  book::Book& book = call.book();
  engine::Losses out;
  if (!known.rescues) known.rescues = book::rescues_of(book);
  const std::vector<Rescued>& rescues = *known.rescues;
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

// All that the batch, its steps and `more_tins` name, with what is known of it.
void load_things(Call& call, engine::SuitabilityFacts& facts,
                 const std::vector<std::string>& more_tins, Depth depth, KnownShop& known) {
  book::Book& book = call.book();
  const Batch& batch = facts.work.batch;
  std::vector<std::string> ids = join_lists(join_lists(batch.glue, batch.finish), more_tins);
  for (const Turn& turn : facts.work.turns) ids = join_lists(std::move(ids), turn.finish);
  for (const Step& step : facts.work.steps)
    for (const Drawn& part : step.drawn) ids.push_back(part.tin);
  std::set<std::string> subjects(batch.wood.begin(), batch.wood.end());
  for (const std::string& id : ids) load_tin(call, id, depth, facts, subjects, known);
  engine::resolve_mixes(facts.work.tins);
  load_withdrawals(call, facts, known);
  for (const std::string& id : batch.wood)
    if (const auto& lot = look_up(known.wood, id, [&] { return book::find_wood(book, id); })) {
      facts.wood.push_back(*lot);
      if (const auto& species = look_up(known.species, lot->species,
                                        [&] { return find_species(book, lot->species); }))
        facts.species[lot->species] = *species;
    }
  for (const std::string& id : subjects) {
    const auto& said =
        look_up(known.statements, id, [&] { return book::statements_on(book, {id}); });
    facts.statements.insert(facts.statements.end(), said.begin(), said.end());
  }
  facts.work.losses = losses_of(call, facts, known);
}

struct Loaded {
  BatchRecord record;
  std::vector<Gift> gifts;
};

Loaded load_batch(Call& call, const std::string& code, const std::vector<std::string>& more_tins,
                  Depth depth, KnownShop& known) {
  book::BatchEntries entries = book::entries_of_batch(call.book(), code);
  engine::SuitabilityFacts facts;
  facts.work.batch = entries.batch ? std::move(*entries.batch) : need_batch(call, code);
  facts.work.steps = std::move(entries.steps);
  facts.work.turns = std::move(entries.turns);
  load_things(call, facts, more_tins, depth, known);
  facts.units = call.units();
  return {{std::move(facts), std::move(entries.scraps)}, std::move(entries.gifts)};
}

}  // namespace

std::optional<Amount> amount_left(Call& call, const Tin& tin) {
  return left_in(tin, book::drawn_from(call.book(), tin.id));
}

engine::Tins load_mix(Call& call, const std::string& id) {
  engine::SuitabilityFacts facts;
  std::set<std::string> subjects;
  KnownShop known;
  load_tin(call, id, Depth::amounts, facts, subjects, known);
  engine::resolve_mixes(facts.work.tins);
  return std::move(facts.work.tins);
}

BatchRecord record_of_batch(Call& call, const std::string& code) {
  KnownShop known;
  return load_batch(call, code, {}, Depth::record, known).record;
}

namespace {

BatchView view_of(Call& call, const std::string& code, const std::vector<std::string>& more_tins,
                  const WhatIf& what_if, KnownShop& known) {
  Loaded loaded = load_batch(call, code, more_tins, Depth::amounts, known);
  BatchRecord& record = loaded.record;
  engine::SuitabilityFacts& facts = record.facts;
  facts.open_rags = book::open_rags(call.book(), code);
  std::vector<book::PieceState> pieces = book::pieces_of(call.book(), code);
  if (!record.scraps.empty())  // findings are about what is left
    for (const book::PieceState& piece : pieces)
      if (!piece.scrapped) facts.work.pieces.push_back(piece.number);
  engine::PieceConditions conditions = conditions_of(call, facts.work, what_if, known.places);
  return {std::move(record), std::move(conditions), std::move(loaded.gifts), std::move(pieces)};
}

}  // namespace

BatchView view_batch(Call& call, const std::string& code, const std::vector<std::string>& more_tins,
                     const WhatIf& what_if) {
  KnownShop known;
  return view_of(call, code, more_tins, what_if, known);
}

BatchView view_batch(Call& call, const std::string& code, KnownShop& known, const WhatIf& what_if) {
  return view_of(call, code, {}, what_if, known);
}

void add_tins(Call& call, BatchView& view, const std::vector<std::string>& tins, KnownShop& known) {
  engine::SuitabilityFacts& facts = view.facts;
  if (std::all_of(tins.begin(), tins.end(),
                  [&](const std::string& id) { return facts.work.tins.contains(id); }))
    return;
  facts.work.tins.clear();
  facts.left.clear();
  facts.withdrawn.clear();
  facts.wood.clear();
  facts.statements.clear();
  load_things(call, facts, tins, Depth::amounts, known);
}

void KnownShop::forget_use(const Step& step) {
  for (const Drawn& part : step.drawn) tins.erase(part.tin);
  if (step.temp) places = {};
}

}  // namespace trencher::commands
