// Woods, by what the board is for.
#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/text.h"
#include "engine/climate.h"
#include "engine/suitability_checks.h"

namespace trencher::engine::checks {
namespace {

constexpr double newtons_per_lbf = 4.4482216;

// Uses whose wood the Food Code wants hard and close-grained: cut on, or wet with food and worked.
bool wants_close_grain(const std::string& use) {
  return use == "cutting-board" || use == "salad-bowl" || use == "utensil";
}

std::string name_of(const Species& species) {
  return species.common_name.substr(0, species.common_name.find(" ("));
}

std::string about(const WoodLot& lot) {
  const std::string name = lot.common_name.empty() ? lot.species : lot.common_name;
  return fmt::format("{} {}", lot.id, name.substr(0, name.find(" (")));
}

std::string show_force(int newtons, Units units) {
  if (units == Units::us)
    return fmt::format("{:.0f} lbf", std::round(newtons / newtons_per_lbf / 10) * 10);
  return fmt::format("{} N", newtons);
}

std::string after_colon(std::string note) {
  while (note.ends_with('.')) note.pop_back();
  // "A strong" and "Dust", but not an abbreviation.
  if (note.size() > 1 && (note[1] == ' ' || (note[1] >= 'a' && note[1] <= 'z')))
    note[0] = lower_ascii(note.substr(0, 1))[0];
  return note;
}

std::string with_standing(const std::string& source, const std::string& standing) {
  if (source.empty()) return "species table, no source";
  return standing.empty() ? source : fmt::format("{}, {}", source, standing);
}

void judge_pore(const Species& species, const std::string& use, Report& report) {
  const std::string name = name_of(species);
  const bool close = wants_close_grain(use);
  const auto add = [&](Result result, const std::string& reason) {
    report.add("species-pore", result, reason, food_code);
  };
  if (species.group == "grass")
    return add(
        use == "toy" ? Result::fine : Result::caution,
        fmt::format("{} is a grass and has no pore class, and laminated stock brings a glue of its "
                    "own that the record does not name.",
                    name));
  if (species.pore == "ring")
    return add(
        close ? Result::caution : Result::fine,
        close
            ? fmt::format("{} is ring-porous: its open pores take up water and food, which is not "
                          "what close-grained means.",
                          name)
            : fmt::format("{} is ring-porous, which matters less on a board that is not cut on.",
                          name));
  if (species.pore == "semi-ring")
    return add(Result::fine,
               fmt::format("{} is semi-ring-porous; the trade counts such wood as close-grained "
                           "where its pores are small.",
                           name));
  if (species.pore == "diffuse")
    return add(Result::fine,
               fmt::format("{} is diffuse-porous, which the trade counts as close-grained.", name));
  if (species.pore == "nonporous")
    return add(close ? Result::caution : Result::fine,
               fmt::format(
                   "{} has no pores, but its soft early wood takes up water and food all the same.",
                   name));
  add(Result::not_known, fmt::format("{} has no pore class in any source.", name));
}

void judge_hardness(const Species& species, const std::string& use, Units units, Report& report) {
  if (!wants_close_grain(use)) return;
  const std::string name = name_of(species);
  if (!species.side_hardness_n)
    return report.add("species-hardness", Result::not_known,
                      fmt::format("{} has no side hardness in any source.", name), food_code);
  const int hardness = *species.side_hardness_n;
  const double share = 100.0 * hardness / hard_maple_hardness_n;
  const std::string measured = fmt::format("{}'s side hardness of {} is {:.0f} % of hard maple's",
                                           name, show_force(hardness, units), share);
  const std::string source =
      fmt::format("{}; figure: {}", food_code,
                  with_standing(species.hardness_source, species.hardness_standing));
  if (share >= about_as_hard_pct)
    report.add("species-hardness", Result::fine,
               measured + ", about as hard; hardness alone passes no wood.", source);
  else if (share >= too_soft_pct || use != "cutting-board")
    report.add("species-hardness", Result::caution,
               measured + ", so it is softer than the wood that the Food Code names.", source);
  else
    report.add("species-hardness", Result::stop, measured + ", too soft under a knife.", source);
}

void judge_softwood(const Species& species, const std::string& use, Report& report) {
  if (species.group != "softwood") return;
  const Result result = use == "cutting-board" ? Result::stop
                        : use == "toy"         ? Result::fine
                                               : Result::caution;
  const std::string listed =
      species.fr1945.empty() ? "" : ", although a French list admits it for food";
  report.add("softwood", result,
             fmt::format("{} is a softwood: knives tear it and resin may taste{}.",
                         name_of(species), listed),
             food_code);
}

void judge_health(const Species& species, Report& report) {
  const std::string name = name_of(species);
  const std::string source = with_standing(species.health_source, "");
  const std::string note = after_colon(species.health_note);
  if (species.toxic)
    report.add("species-toxicity", Result::stop,
               fmt::format("{} is out for every use; {}.", name,
                           note.empty() ? "its wood is poisonous" : note),
               source);
  else
    report.add("species-toxicity", Result::fine,
               fmt::format("{} is listed as a direct poison by no source that was read, which "
                           "proves nothing more.",
                           name),
               "species table");
  if (species.toxic) return;
  if (note.find("spalted") != std::string::npos)
    report.add(
        "spalted", Result::fine,
        fmt::format(
            "The record does not tell whether this lot is spalted; if it is, keep it off food "
            "faces and its dust out of your lungs ({}).",
            note),
        source);
  else if (species.sensitiser)
    report.add("species-sensitiser", Result::caution,
               fmt::format("{} asks for care with dust and skin: {}.", name, note), source);
  else if (!note.empty())
    report.add(
        "species-sensitiser", Result::fine,
        fmt::format("{} is not listed as a sensitiser, but there is a note: {}.", name, note),
        source);
}

void judge_stock(const WoodLot& lot, Report& report) {
  if (lot.reclaimed)
    report.add(
        "reclaimed", Result::stop,
        fmt::format("{} is reclaimed: what soaked into it, or was painted on, is not recorded.",
                    lot.id),
        ours);
  if (!lot.treated)
    report.add(
        "treated", Result::not_known,
        fmt::format("Whether {} was treated with a preservative is not recorded: ask its supplier.",
                    lot.id),
        ours);
  else if (*lot.treated)
    report.add(
        "treated", Result::stop,
        fmt::format("{} was treated with a preservative, which has no place near food.", lot.id),
        ours);
  else
    report.add("treated", Result::fine, fmt::format("{} is recorded as not treated.", lot.id),
               ours);
  if (!lot.moisture)
    return report.add("wood-moisture", Result::not_known,
                      fmt::format("The moisture of {} is not recorded.", lot.id), practice);
  const bool fits = lot.moisture->permille >= 60 && lot.moisture->permille <= 90;
  report.add("wood-moisture", fits ? Result::fine : Result::caution,
             fmt::format("{} holds {} of moisture{} 6 to 9 % that boards are glued up at.", lot.id,
                         show(*lot.moisture), fits ? ", within the" : ", outside the"),
             practice);
}

void judge_spread(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  const auto by_moisture = [](const WoodLot* a, const WoodLot* b) {
    return *a->moisture < *b->moisture;
  };
  std::vector<const WoodLot*> lots;
  for (const WoodLot& lot : facts.wood)
    if (lot.moisture) lots.push_back(&lot);
  if (lots.size() < 2) return;
  const auto [driest, dampest] = std::minmax_element(lots.begin(), lots.end(), by_moisture);
  const std::int64_t apart = (*dampest)->moisture->permille - (*driest)->moisture->permille;
  Report(facts.work.batch.code, out)
      .add("wood-moisture-spread", apart <= 20 ? Result::fine : Result::caution,
           fmt::format("{} ({}) and {} ({}) are {:.1f} points of moisture apart; {}.",
                       (*driest)->id, show(*(*driest)->moisture), (*dampest)->id,
                       show(*(*dampest)->moisture), static_cast<double>(apart) / 10,
                       apart <= 20 ? "2 are usual at the most"
                                   : "over 2, the board will pull at its joints"),
           practice);
}

// Wood moves until it is in balance with the air round it: at glue-up, or now while none is logged.
void judge_balance(const SuitabilityFacts& facts, const PieceConditions& conditions, Instant now,
                   std::vector<Finding>& out) {
  const auto& steps = facts.work.steps;
  const auto glued = std::find_if(steps.begin(), steps.end(),
                                  [](const Step& step) { return step.kind == "glue-up"; });
  const Air air = glued != steps.end() ? air_of(*glued, conditions.of(glued->pieces))
                                       : air_at(conditions.of(facts.work.pieces), now);
  const char* when = glued != steps.end() ? "at the glue-up" : "now";
  const char* source = "Wood Handbook FPL-GTR-190 eq. 4-5; the 2 points are common practice";
  for (const WoodLot& lot : facts.wood) {
    if (!lot.moisture) continue;
    Report report(about(lot), out);
    if (!air.temp_c || !air.rh_pct || *air.temp_c < 0) {
      report.add(
          "wood-moisture-air", Result::not_known,
          fmt::format("Temperature or humidity of the air {} is not known, or below freezing, so "
                      "{}'s moisture cannot be held against it.",
                      when, lot.id),
          source);
      continue;
    }
    const double balance = emc_pct(*air.temp_c, *air.rh_pct);
    const bool guessed = air.temp_guessed || air.rh_guessed;
    const bool apart = std::abs(balance - lot.moisture->value()) > 2.0;
    report.add(
        "wood-moisture-air",
        apart     ? Result::caution
        : guessed ? Result::not_known
                  : Result::fine,
        fmt::format("{} holds {} and the air {} asks for {} ({}, {}){}{}.", lot.id,
                    show(*lot.moisture), when, show_pct(balance), show_c(*air.temp_c, facts.units),
                    show_pct(*air.rh_pct), apart ? ", more than 2 points apart: let it rest" : "",
                    guessed ? "; " + air.why : ""),
        source);
  }
}

}  // namespace

void judge_withdrawn_wood(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  for (const WoodLot& lot : facts.wood)
    if (const auto found = facts.withdrawn.find(lot.id); found != facts.withdrawn.end())
      Report(about(lot), out)
          .add("wood-withdrawn", Result::stop,
               fmt::format("{}, which {} is made of, is withdrawn: {}.", about(lot),
                           facts.work.batch.code, found->second.why),
               fmt::format("entry {}", found->second.entry));
}

void judge_wood(const SuitabilityFacts& facts, const PieceConditions& conditions, Instant now,
                std::vector<Finding>& out) {
  const std::string& use = facts.work.batch.use;
  for (const WoodLot& lot : facts.wood) {
    Report report(about(lot), out);
    const auto found = facts.species.find(lot.species);
    if (found == facts.species.end()) {
      report.add(
          "species-known", Result::not_known,
          fmt::format(
              "{} is given as '{}', a wood that the tables do not know, so nothing can be said "
              "of its pores, its hardness or its poison.",
              lot.id, lot.species),
          ours);
    } else {
      const Species& species = found->second;
      report.add("species-known", Result::fine,
                 fmt::format("{} is {} ({}).", lot.id, name_of(species), species.botanical_name),
                 "species table");
      judge_pore(species, use, report);
      judge_hardness(species, use, facts.units, report);
      judge_softwood(species, use, report);
      judge_health(species, report);
    }
    judge_stock(lot, report);
  }
  judge_withdrawn_wood(facts, out);
  judge_spread(facts, out);
  judge_balance(facts, conditions, now, out);
}

}  // namespace trencher::engine::checks
