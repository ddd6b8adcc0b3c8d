// One step against what came before it: the air, the tins, and the waits.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/text.h"
#include "engine/climate.h"
#include "engine/schedule_history.h"
#include "engine/suitability_checks.h"

namespace trencher::engine::checks {
namespace {

std::string about(const Step& step) {
  return step.entry ? fmt::format("entry {}", step.entry) : "this " + step.kind;
}

std::string label_source(const Figure& figure) {
  return figure.usual ? "usual range of the kind, the label is silent" : "label";
}

std::string because(const std::string& why) { return why.empty() ? "" : "; guessed: " + why; }

// What a limit makes of a value: a guess that keeps the limit leaves the matter not known, and one
// that breaks it is no more than a caution.
Result judged(bool kept, bool guessed, Result broken) {
  if (guessed) return kept ? Result::not_known : Result::caution;
  return kept ? Result::fine : broken;
}

// `check` names the limit; a glue that is spread too cold is a stop, a coat a caution.
void judge_cold(const char* check, const Tin& tin, const Air& air, Result broken, Units units,
                Report& report) {
  const auto& lowest = tin.label.lowest_temp;
  // Kinds without a lowest temperature (oils that never harden, wax) have nothing to keep.
  if (!lowest) {
    if (tin.stock == "glue")
      report.add(check, Result::not_known,
                 fmt::format("No lowest temperature of {} is known.", name_of(tin)), ours);
    return;
  }
  const std::string limit = show(Celsius{lowest->value}, units);
  const auto coldest = air.coldest_c();
  if (!coldest)
    return report.add(
        check, Result::not_known,
        fmt::format("The temperature was not logged and there is no reading, so whether it kept "
                    "to the lowest of {}, {}, is not known.",
                    name_of(tin), limit),
        label_source(*lowest));
  const bool kept = std::llround(*coldest * 1000) >= lowest->value;
  report.add(check, judged(kept, air.temp_guessed, broken),
             fmt::format("{} is {} the lowest of {}, {}{}.", show_c(*coldest, units),
                         kept ? "not below" : "below", name_of(tin), limit,
                         air.temp_guessed ? because(air.why) : ""),
             label_source(*lowest));
}

void judge_damp(const Tin& tin, const Air& air, Report& report) {
  const auto& highest = tin.label.highest_rh;
  if (!highest) return;
  const std::string limit = show(Percent{highest->value});
  if (!air.rh_pct)
    return report.add(
        "coat-humidity", Result::not_known,
        fmt::format("The humidity was not logged and there is no reading, so whether it kept to "
                    "the highest of {}, {}, is not known.",
                    name_of(tin), limit),
        label_source(*highest));
  const bool kept = std::llround(*air.rh_pct * 10) <= highest->value;
  report.add("coat-humidity", judged(kept, air.rh_guessed, Result::caution),
             fmt::format("{} is {} the highest of {}, {}{}.", show_pct(*air.rh_pct),
                         kept ? "not above" : "above", name_of(tin), limit,
                         air.rh_guessed ? because(air.why) : ""),
             label_source(*highest));
}

void judge_dew(const Air& air, Units units, Report& report) {
  const char* source =
      "coating rule of 3 °C over the dew point, made for steel; borrowed, ours for wood";
  if (!air.temp_c || !air.rh_pct || *air.rh_pct <= 0)
    return report.add("dew-point-margin", Result::not_known,
                      "Temperature or humidity is not known, so the dew point is not known either.",
                      source);
  const double lowest = lowest_surface_c(*air.temp_c, *air.rh_pct);
  const double surface = air.surface_c.value_or(*air.temp_c);
  const bool kept = surface >= lowest;
  const bool guessed = air.temp_guessed || air.rh_guessed;
  report.add(
      "dew-point-margin", judged(kept, guessed, Result::caution),
      fmt::format("{} at {} is {} {}, the dew point of {} and its margin{}.",
                  air.surface_c ? "The wood" : "The air, and so the wood,", show_c(surface, units),
                  kept ? "not below" : "below", show_c(lowest, units),
                  show_c(dew_point_c(*air.temp_c, *air.rh_pct), units),
                  guessed ? because(air.why) : ""),
      source);
}

void judge_withdrawn(const SuitabilityFacts& facts, const Tin& tin, Report& report) {
  const auto found = facts.withdrawn.find(tin.id);
  if (found == facts.withdrawn.end())
    return report.add("tin-withdrawn", Result::fine,
                      fmt::format("{} is not withdrawn.", name_of(tin)), ours);
  const Withdrawal& word = found->second;
  const bool itself = std::find(word.ids.begin(), word.ids.end(), tin.id) != word.ids.end();
  report.add("tin-withdrawn", Result::stop,
             fmt::format("{} is withdrawn{}: {}.", name_of(tin),
                         itself ? "" : " with what it was mixed from", word.why),
             fmt::format("entry {}", word.entry));
}

void judge_tin(const Tin& tin, const Step& step, Report& report) {
  const bool received = tin.at.at <= step.at.at;
  report.add("tin-not-yet-received", received ? Result::fine : Result::stop,
             received ? fmt::format("{} was received on {}.", name_of(tin), show(tin.at))
                      : fmt::format("{} was received on {}, after {} when it is said to be used.",
                                    name_of(tin), show(tin.at), show(step.at)),
             fmt::format("entry {}", tin.entry));
  if (const auto& pot = tin.pot_until) {
    const bool usable = step.at.at <= pot->at;
    report.add(
        "pot-life", usable ? Result::fine : Result::stop,
        fmt::format("{} can be used until {} by its pot life, sooner in the warm; this is {} "
                    "it.",
                    name_of(tin), show(*pot), usable ? "within" : "past"),
        fmt::format("entry {}", tin.entry));
  }
  const auto until = use_by(tin);
  if (!until) return;
  const bool good = std::chrono::sys_days(local_day(step.at)) <= std::chrono::sys_days(*until);
  const bool opened = until != tin.best_before;
  report.add(
      "tin-out-of-date", good ? Result::fine : Result::stop,
      opened ? fmt::format("{} was opened on {} and keeps until {}; this is {} it.", name_of(tin),
                           show(*tin.opened), show(*until), good ? "within" : "past")
             : fmt::format("{} is {} its best-before of {}.", name_of(tin),
                           good ? "within" : "past", show(*until)),
      fmt::format("entry {}", tin.entry));
}

// The wait that a further coat must keep, also where the schedule plans none.
std::vector<Date> dates_to_next_coat(BatchWork work, const PieceConditions& conditions,
                                     Instant at) {
  std::vector<Date> out = dates(work, 0, conditions, at);
  if (std::any_of(out.begin(), out.end(), [](const Date& d) { return d.name == next_coat; }))
    return out;
  const auto plan_more = [&](Schedule& schedule) {
    auto& plan = schedule.steps;
    auto last = std::find_if(plan.rbegin(), plan.rend(),
                             [](const ScheduleStep& s) { return s.step == "coat"; });
    if (last == plan.rend()) {
      plan.push_back({"coat", {}, 1, {}, {}, {}, {}, {}});
      last = plan.rbegin();
    }
    last->count = static_cast<int>(work.steps.size()) + 1;  // more than can be logged
  };
  plan_more(work.batch.schedule);
  for (Turn& turn : work.turns)
    if (turn.schedule) plan_more(*turn.schedule);
  return dates(work, 0, conditions, at);
}

void judge_wait(BatchWork before, const Step& step, const PieceConditions& conditions,
                Report& report) {
  if (!step.pieces.empty()) before.pieces = step.pieces;
  for (const Date& date : dates_to_next_coat(before, conditions, step.at.at)) {
    if (date.name != next_coat || (!date.wait && date.why.empty())) continue;
    if (!date.wait) {
      const auto each = histories(before, 0);
      const bool first = std::all_of(each.begin(), each.end(), [](const PieceHistory& history) {
        return !history.last_coat();
      });
      if (!first)
        report.add(
            "coat-too-early", Result::not_known,
            fmt::format("Whether the coat before was dry is not known: {}.", join(date.why, "; ")),
            ours);
      continue;
    }
    const std::string source = label_source(date.wait->label);
    const std::string& tin = date.wait->tin_name;
    const bool kept = date.at && *date.at <= step.at.at;
    const bool guessed = date.wait->reached.guessed;
    const std::string end = date.at ? show(conditions.of(step.pieces).local(*date.at))
                                    : "a moment that does not come as conditions stand";
    // The due date is what the record gives, guessed or not: to come before it is a stop.
    report.add("coat-too-early", kept ? judged(true, guessed, Result::stop) : Result::stop,
               fmt::format("The coat of {} comes {} the wait of {} is over, {}{}.", show(step.at),
                           kept ? "after" : "before", tin, end,
                           date.guessed ? because(join(date.why, "; ")) : ""),
               source);
    report.add(
        "coat-window", date.scuff_first ? Result::caution : Result::fine,
        date.scuff_first
            ? fmt::format("The longest wait of {} has passed without a scuff, so the coat may "
                          "not hold.",
                          tin)
            : fmt::format("The coat is within the longest wait of {}, which may have none, or "
                          "follows a scuff.",
                          tin),
        source);
  }
}

void judge_coat(const SuitabilityFacts& facts, const BatchWork& before, const Step& step,
                const PieceConditions& conditions, const std::vector<const Tin*>& tins,
                std::vector<Finding>& out) {
  Report report(about(step), out);
  const Air air = air_of(step, conditions.of(step.pieces));
  bool hardens = false;
  for (const Tin* tin : tins) {
    judge_cold("coat-temperature", *tin, air, Result::caution, facts.units, report);
    judge_damp(*tin, air, report);
    const Mechanism m = tin->label.mechanism;
    hardens =
        hardens || (m != Mechanism::non_drying && m != Mechanism::wax_set && m != Mechanism::none);
  }
  if (hardens) judge_dew(air, facts.units, report);
  const bool mixed = std::any_of(tins.begin(), tins.end(),
                                 [](const Tin* tin) { return !tin->mixed_from.empty(); });
  if (tins.size() > 1 || mixed)
    report.add("mixed-tins", Result::caution,
               "The coat was made from several tins, and no label gives the waits of a mixture: "
               "the longest of each counts.",
               ours);
  judge_wait(before, step, conditions, report);
}

void judge_glue_up(const SuitabilityFacts& facts, const BatchWork& before, const Step& step,
                   const PieceConditions& conditions, const std::vector<const Tin*>& tins,
                   std::vector<Finding>& out) {
  Report report(about(step), out);
  const Air air = air_of(step, conditions.of(step.pieces));
  for (const Tin* tin : tins)
    judge_cold("glue-temperature", *tin, air, Result::stop, facts.units, report);
  if (std::any_of(before.steps.begin(), before.steps.end(),
                  [](const Step& s) { return s.kind == "coat"; }))
    report.add("glue-over-finish", Result::caution,
               "Glue was spread after a coat: where finish is on the joint, glue does not hold.",
               practice);
}

}  // namespace

std::vector<Turn> turns_until(const BatchWork& work, Instant at) {
  std::vector<Turn> out;
  std::copy_if(work.turns.begin(), work.turns.end(), std::back_inserter(out),
               [&](const Turn& turn) { return turn.at.at <= at; });
  return out;
}

void judge_step(const SuitabilityFacts& facts, const BatchWork& before, const Step& step,
                const PieceConditions& conditions, std::vector<Finding>& out) {
  Report report(about(step), out);
  std::vector<const Tin*> tins;
  for (const Drawn& drawn : step.drawn) {
    const auto tin = before.tins.find(drawn.tin);
    if (tin == before.tins.end()) continue;
    tins.push_back(&tin->second);
    judge_tin(tin->second, step, report);
    judge_withdrawn(facts, tin->second, report);
  }
  const bool coat = step.kind == "coat", glue_up = step.kind == "glue-up";
  if ((coat || glue_up) && tins.empty())
    report.add("tin-named", Result::not_known,
               fmt::format("The {} does not say which tin it was made from.", step.kind), ours);
  if (coat) judge_coat(facts, before, step, conditions, tins, out);
  if (glue_up) judge_glue_up(facts, before, step, conditions, tins, out);
}

}  // namespace trencher::engine::checks

namespace trencher::engine {
namespace {

void judge_amount(const SuitabilityFacts& facts, const Drawn& drawn, const Step& step,
                  std::vector<Finding>& out) {
  const auto left = facts.left.find(drawn.tin);
  if (left == facts.left.end()) return;
  const auto tin = facts.work.tins.find(drawn.tin);
  const std::string name = tin == facts.work.tins.end() ? drawn.tin : checks::name_of(tin->second);
  checks::Report report(step.entry ? fmt::format("entry {}", step.entry) : "this " + step.kind,
                        out);
  const std::string rest = show(left->second, facts.units);
  const auto add = [&](Result result, const std::string& reason) {
    report.add("tin-empty", result, reason, checks::ours);
  };
  if (left->second.value <= 0)
    return add(Result::stop, fmt::format("{} is empty by the record.", name));
  if (!drawn.amount) return;
  const std::string taken = show(*drawn.amount, facts.units);
  if (drawn.amount->measure != left->second.measure)
    return add(Result::not_known,
               fmt::format("{} holds {} and {} is drawn: volume and mass cannot be "
                           "compared.",
                           name, rest, taken));
  if (drawn.amount->value <= left->second.value)
    return add(Result::fine, fmt::format("{} holds {} and {} is drawn.", name, rest, taken));
  add(drawn.estimated ? Result::caution : Result::stop,
      fmt::format("{} holds {} by the record, and {}{} is drawn.", name, rest,
                  drawn.estimated ? "an estimated " : "", taken));
}

}  // namespace

std::vector<Finding> step_findings(const SuitabilityFacts& facts, const Step& step,
                                   const PieceConditions& conditions) {
  std::vector<Finding> out;
  // A step may be logged late: only what happened before it counts.
  BatchWork before = facts.work;
  std::erase_if(before.steps, [&](const Step& s) { return s.at.at > step.at.at; });
  before.turns = checks::turns_until(facts.work, step.at.at);
  for (const Drawn& drawn : step.drawn) judge_amount(facts, drawn, step, out);
  if (!step.drawn.empty()) checks::judge_withdrawn_wood(facts, out);
  checks::judge_step(facts, before, step, conditions, out);
  return out;
}

}  // namespace trencher::engine
