#include "engine/suitability.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>
#include <set>

#include "engine/suitability_checks.h"

namespace trencher::engine {
namespace checks {

std::string name_of(const Tin& tin) { return fmt::format("{} {}", tin.id, tin.name); }

std::string show_c(double temp_c, Units units) {
  return show(Celsius{std::llround(temp_c * 1000)}, units);
}

std::string show_pct(double pct) { return show(Percent{std::llround(pct * 10)}); }

std::optional<double> Air::coldest_c() const {
  std::optional<double> out;
  for (const auto& known : {temp_c, surface_c, tin_c})
    if (known && (!out || *known < *out)) out = known;
  return out;
}

Air air_at(const Conditions& conditions, Instant at) {
  Air air;
  const std::vector<Stretch> stretches = conditions.between(at, at + Seconds{1});
  if (stretches.empty()) return air;
  const Stretch& now = stretches.front();
  air.temp_c = now.temp_from_c;
  air.rh_pct = now.rh_from_pct;
  air.temp_guessed = !now.temp_why.empty();
  air.rh_guessed = !now.rh_why.empty();
  air.why = now.why;
  return air;
}

Air air_of(const Step& step, const Conditions& conditions) {
  Air air = air_at(conditions, step.at.at);
  if (step.surface_temp) air.surface_c = step.surface_temp->degrees();
  if (step.wood_temp)
    air.surface_c =
        std::min(air.surface_c.value_or(step.wood_temp->degrees()), step.wood_temp->degrees());
  if (step.tin_temp) air.tin_c = step.tin_temp->degrees();
  if (step.temp) {
    air.temp_c = step.temp->degrees();
    air.temp_guessed = false;
  }
  if (step.rh) {
    air.rh_pct = step.rh->value();
    air.rh_guessed = false;
  }
  return air;
}

const Statement* food_contact_statement(const SuitabilityFacts& facts, const Tin& tin) {
  const Statement* out = nullptr;
  for (const Statement& statement : facts.statements)
    if (statement.about == "food-contact" && is_about(statement, tin)) out = &statement;
  return out;
}

void judge_food_statement(const char* check, const SuitabilityFacts& facts, const Tin& tin,
                          Report& report) {
  if (const Statement* statement = food_contact_statement(facts, tin))
    return report.add(check, Result::fine,
                      fmt::format("A food-contact statement on {} is recorded{}.", name_of(tin),
                                  statement->market.empty()
                                      ? ""
                                      : fmt::format(", for the market '{}'", statement->market)),
                      fmt::format("entry {}", statement->entry));
  report.add(check, Result::not_known,
             fmt::format("No food-contact statement on {} is recorded: ask {}.", name_of(tin),
                         tin.supplier.empty() ? "its supplier" : tin.supplier),
             ours);
}

std::string unknown_kind(const Tin& tin) {
  return fmt::format("{} is of the kind '{}', which the tables do not know.", name_of(tin),
                     tin.kind);
}

std::vector<const Tin*> tins_put_on(const BatchWork& work, std::string_view stock) {
  std::vector<std::string> ids = stock == "glue" ? work.batch.glue : work.batch.finish;
  for (const Turn& turn : work.turns) ids.insert(ids.end(), turn.finish.begin(), turn.finish.end());
  for (const Step& step : work.steps)
    for (const Drawn& drawn : step.drawn) ids.push_back(drawn.tin);
  std::vector<const Tin*> out;
  std::set<std::string> seen;
  for (const std::string& id : ids) {
    const auto tin = work.tins.find(id);
    if (tin != work.tins.end() && tin->second.stock == stock && seen.insert(id).second)
      out.push_back(&tin->second);
  }
  return out;
}

std::vector<const Tin*> tins_of(const BatchWork& work, std::string_view stock) {
  std::vector<const Tin*> out;
  for (const char* of : {"glue", "finish", "other"})  // a finish may be thinned with something else
    for (const Tin* tin : tins_put_on(work, of))
      for (const Tin* source : sources(work.tins, tin->id))
        if (source->stock == stock && std::find(out.begin(), out.end(), source) == out.end())
          out.push_back(source);
  return out;
}

}  // namespace checks

namespace {

// What a check finds fine, or not in its schedule, only since nothing is known of a lost thing, is
// no finding.
void drop_unfounded(const Losses& losses, const std::string& batch, std::vector<Finding>& found) {
  if (losses.things.empty()) return;
  std::erase_if(found, [&](const Finding& finding) {
    const bool of_lost =
        finding.about == batch ||
        std::any_of(losses.things.begin(), losses.things.end(), [&](const std::string& id) {
          return finding.about == id || finding.about.starts_with(id + " ");
        });
    return of_lost && (finding.result == Result::fine || finding.check == "finish-in-schedule");
  });
}

}  // namespace

std::vector<Finding> suitability(const SuitabilityFacts& facts, const PieceConditions& conditions,
                                 Instant now) {
  std::vector<Finding> out;
  checks::judge_wood(facts, conditions, now, out);
  checks::judge_glue(facts, out);
  checks::judge_finish(facts, out);
  checks::judge_others(facts, out);
  checks::judge_work(facts, conditions, now, out);
  drop_unfounded(facts.work.losses, facts.work.batch.code, out);
  if (facts.work.losses.any())
    out.push_back({"lost-entries", "suitability", Result::not_known, facts.work.batch.code,
                   facts.work.losses.sentence(), "ours"});
  return out;
}

}  // namespace trencher::engine
