// Glues and finishes: what they are for, what their papers say, and what goes over what.
#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "domain/text.h"
#include "engine/schedule_history.h"
#include "engine/suitability_checks.h"

namespace trencher::engine::checks {
namespace {

bool has_driers(const FinishKind& kind) {
  return std::any_of(kind.contains.begin(), kind.contains.end(),
                     [](const std::string& id) { return id.ends_with("-driers"); });
}

// Kinds that the table keeps off cutting faces lie on the wood as a film, save oils with driers,
// which are kept off for those.
bool forms_film(const FinishKind& kind) {
  return kind.on_cutting_surface == "stop" && !has_driers(kind);
}

bool never_hardens(const Tin& tin) {
  return tin.label.mechanism == Mechanism::non_drying || tin.label.mechanism == Mechanism::wax_set;
}

// The waits and limits for which the label is silent and the usual range stands.
std::vector<std::string> guessed_figures(const Label& label) {
  const std::pair<const std::optional<Figure>*, const char*> figures[] = {
      {&label.coats, "the number of coats"},
      {&label.recoat_min, "the shortest wait between coats"},
      {&label.recoat_max, "the longest wait between coats"},
      {&label.handle, "the wait to handle"},
      {&label.pack, "the wait to pack"},
      {&label.food_contact, "the wait to food contact"},
      {&label.clamp, "the time in clamps"},
      {&label.full_cure, "the full cure"},
      {&label.lowest_temp, "the lowest temperature"},
      {&label.highest_rh, "the highest humidity"},
  };
  std::vector<std::string> out;
  for (const auto& [figure, words] : figures)
    if (*figure && (*figure)->usual) out.emplace_back(words);
  return out;
}

void judge_label(const char* check, const Tin& tin, Report& report) {
  const std::vector<std::string> guessed = guessed_figures(tin.label);
  const std::string basis = tin.label.basis.empty() ? practice : tin.label.basis;
  if (guessed.empty())
    report.add(check, Result::fine,
               fmt::format("Every wait that counts for {} is from its label.", name_of(tin)),
               fmt::format("entry {}", tin.entry));
  else
    report.add(check, Result::caution,
               fmt::format(
                   "The label of {} as entered does not give {}, so the longest of the usual range "
                   "counts and dates are guessed.",
                   name_of(tin), join_words(guessed)),
               basis);
  if (tin.stock == "finish" && !tin.label.food_contact)
    report.add(check, Result::not_known,
               fmt::format("No figure says when {} may touch food: ask its maker.", name_of(tin)),
               basis);
}

// With metal driers in it a finish is a stop until its maker's statement, and a caution after it.
void judge_statement(const char* check, const SuitabilityFacts& facts, const Tin& tin, bool driers,
                     Report& report) {
  if (!driers) return judge_food_statement(check, facts, tin, report);
  if (const Statement* statement = food_contact_statement(facts, tin))
    report.add(
        check, Result::caution,
        fmt::format("{} holds metal driers; a food-contact statement lifts the stop, and what "
                    "it says of them is for you to read.",
                    name_of(tin)),
        fmt::format("entry {}", statement->entry));
  else
    report.add(check, Result::stop,
               fmt::format("{} holds metal driers: only its maker's written food-contact statement "
                           "lifts this, and none is recorded.",
                           name_of(tin)),
               ours);
}

void judge_use(const FinishKind& kind, const Tin& tin, const std::string& use, Report& report) {
  const std::string name = name_of(tin);
  if (forms_film(kind)) {
    const Result result = use == "cutting-board" ? Result::stop
                          : use == "toy"         ? Result::fine
                                                 : Result::caution;
    const char* why = use == "cutting-board" ? "knives cut through it and chips come off"
                                             : "a film chips, peels or cracks in the end";
    return report.add(
        "finish-on-use", result, fmt::format("{} lies on the wood as a film: {}.", name, why),
        "Forest Products Laboratory sheet on finishes for things used for food, read");
  }
  const bool fine = kind.on_cutting_surface == "fine" || use != "cutting-board";
  report.add(
      "finish-on-use", fine ? Result::fine : Result::caution,
      fine ? fmt::format("{} is a kind that is used on such boards.", name)
           : fmt::format(
                 "{} goes on a cutting face only in thin coats, wiped dry and left to cure to "
                 "the end.",
                 name),
      practice);
}

// The ways of finishing in the batch: its own, and those of pieces that went another way.
std::vector<std::pair<const Schedule*, const std::vector<std::string>*>> ways(
    const BatchWork& work) {
  std::vector<std::pair<const Schedule*, const std::vector<std::string>*>> out{
      {&work.batch.schedule, &work.batch.finish}};
  for (const Turn& turn : work.turns)
    if (turn.schedule) out.emplace_back(&*turn.schedule, &turn.finish);
  return out;
}

// Whether a piece that came back has one coat to come of whatever tin its maker takes.
bool any_tin_serves(const BatchWork& work, const Tin& tin) {
  return std::any_of(work.turns.begin(), work.turns.end(), [&](const Turn& turn) {
    return !turn.schedule && std::any_of(work.steps.begin(), work.steps.end(), [&](const Step& s) {
      return s.at.at >= turn.at.at &&
             std::any_of(s.drawn.begin(), s.drawn.end(),
                         [&](const Drawn& drawn) { return drawn.tin == tin.id; });
    });
  });
}

void judge_slot(const SuitabilityFacts& facts, const Tin& tin, Report& report) {
  const Schedule* schedule = nullptr;
  std::size_t slot = 0;
  for (const auto& [way, planned] : ways(facts.work)) {
    const auto at = std::find(planned->begin(), planned->end(), tin.id);
    if (schedule || at == planned->end()) continue;
    schedule = way;
    slot = static_cast<std::size_t>(at - planned->begin());
  }
  if (!schedule && (facts.work.batch.schedule.slots.empty() || any_tin_serves(facts.work, tin)))
    return;
  if (!schedule)
    return report.add(
        "finish-in-schedule", Result::caution,
        fmt::format("{} was laid on but is not among the finishes of the batch.", name_of(tin)),
        ours);
  const auto& slots = schedule->slots;
  if (slots.empty()) return;
  const bool fits = slot < slots.size() && std::find(slots[slot].begin(), slots[slot].end(),
                                                     tin.label.mechanism) != slots[slot].end();
  report.add(
      "finish-in-schedule", fits ? Result::fine : Result::caution,
      fmt::format("{} {} place {} of the schedule '{}'.", name_of(tin),
                  fits ? "fits" : "is not of a kind that is meant for", slot + 1, schedule->name),
      ours);
}

bool any_oily(const SuitabilityFacts& facts) {
  return std::any_of(facts.wood.begin(), facts.wood.end(), [&](const WoodLot& lot) {
    const auto species = facts.species.find(lot.species);
    return species != facts.species.end() && species->second.oily;
  });
}

// The finishes in the order in which they lie on a piece: as coated, then as planned.
std::vector<const Tin*> layers(const BatchWork& work, int piece) {
  std::vector<const Tin*> out;
  const auto lay = [&](const std::string& id) {
    const auto tin = work.tins.find(id);
    if (tin == work.tins.end() || tin->second.stock != "finish") return;
    if (out.empty() || out.back() != &tin->second) out.push_back(&tin->second);
  };
  for (const Step& step : work.steps)
    if (step.kind == "coat" && names_piece(step.pieces, piece))
      for (const Drawn& drawn : step.drawn) lay(drawn.tin);
  const std::vector<std::string>* planned = &work.batch.finish;
  for (const Turn& turn : work.turns)
    if (names_piece(turn.pieces, piece) && !turn.unused) planned = &turn.finish;
  for (const std::string& id : *planned)
    if (std::none_of(out.begin(), out.end(), [&](const Tin* tin) { return tin->id == id; }))
      lay(id);
  return out;
}

void judge_layers(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  std::set<std::pair<const Tin*, const Tin*>> pairs;
  std::vector<std::pair<const Tin*, const Tin*>> in_order;
  for (const PieceHistory& history : histories(facts.work, 0)) {
    const std::vector<const Tin*> tins = layers(facts.work, history.piece());
    for (std::size_t i = 1; i < tins.size(); ++i)
      if (pairs.emplace(tins[i - 1], tins[i]).second) in_order.emplace_back(tins[i - 1], tins[i]);
  }
  for (const auto& [lower, upper] : in_order) {
    const Tin &under = *lower, &over = *upper;
    Report report(fmt::format("{} over {}", over.id, under.id), out);
    const bool waxed_shellac = under.kind == "shellac-waxed" &&
                               over.label.mechanism != Mechanism::wax_set &&
                               over.label.mechanism != Mechanism::solvent_evaporation;
    if (never_hardens(under) && !never_hardens(over))
      report.add("finish-over-finish", Result::caution,
                 fmt::format(
                     "{} over {}: what must harden does not hold on an oil or wax that never does.",
                     name_of(over), name_of(under)),
                 practice);
    else if (waxed_shellac)
      report.add("finish-over-finish", Result::caution,
                 fmt::format("{} over {}: varnish may not stick to the wax in the shellac.",
                             name_of(over), name_of(under)),
                 practice);
  }
}

}  // namespace

void judge_glue(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  const bool oily = any_oily(facts);
  for (const Tin* tin : tins_of(facts.work, "glue")) {
    Report report(tin->id, out);
    const auto found = facts.glue_kinds.find(tin->kind);
    if (found == facts.glue_kinds.end()) {
      report.add("glue-wet-use", Result::not_known, unknown_kind(*tin), ours);
    } else {
      const GlueKind& kind = found->second;
      const bool toy = facts.work.batch.use == "toy";
      const Result result = kind.wet_use == "fine"           ? Result::fine
                            : kind.wet_use == "stop" && !toy ? Result::stop
                            : kind.wet_use.empty()           ? Result::not_known
                                                             : Result::caution;
      const char* why = result == Result::fine        ? "stands the washing that such a board gets"
                        : result == Result::stop      ? "does not stand washing"
                        : result == Result::not_known ? "is not rated for washing by any source"
                                                      : "stands damp badly";
      report.add("glue-wet-use", result, fmt::format("{} ({}) {}.", name_of(*tin), kind.name, why),
                 kind.basis.empty() ? ours : kind.basis);
    }
    judge_statement("glue-statement", facts, *tin, false, report);
    judge_label("glue-label", *tin, report);
    if (oily)
      report.add(
          "glue-on-oily-wood", Result::caution,
          fmt::format(
              "{} holds badly on an oily wood: wipe the faces with alcohol or acetone and glue "
              "the same day.",
              name_of(*tin)),
          practice);
  }
}

void judge_finish(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  const bool oily = any_oily(facts);
  for (const Tin* tin : tins_of(facts.work, "finish")) {
    Report report(tin->id, out);
    const auto found = facts.finish_kinds.find(tin->kind);
    bool driers = false;
    if (found == facts.finish_kinds.end()) {
      report.add("finish-on-use", Result::not_known, unknown_kind(*tin), ours);
    } else {
      const FinishKind& kind = found->second;
      driers = has_driers(kind);
      judge_use(kind, *tin, facts.work.batch.use, report);
      if (!kind.solvent.empty() && kind.solvent != "none" && kind.solvent != "water")
        report.add(
            "finish-solvent", Result::caution,
            fmt::format("{} holds solvent ({}): fresh air, no flame, and the label comes first.",
                        name_of(*tin), kind.solvent),
            practice);
    }
    judge_statement("finish-statement", facts, *tin, driers, report);
    judge_label("finish-label", *tin, report);
    if (oily && !never_hardens(*tin))
      report.add("finish-on-oily-wood", Result::caution,
                 fmt::format("{} may stay soft on an oily wood: try it on an offcut first.",
                             name_of(*tin)),
                 practice);
  }
  for (const Tin* tin : tins_put_on(facts.work, "finish")) {
    Report report(tin->id, out);
    judge_slot(facts, *tin, report);
  }
  judge_layers(facts, out);
}

}  // namespace trencher::engine::checks
