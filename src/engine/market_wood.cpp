// What the record holds of the wood.
#include <fmt/format.h>

#include <algorithm>

#include "domain/text.h"
#include "engine/market_checks.h"

namespace trencher::engine::rules {
namespace {

std::string about(const WoodLot& lot) {
  const std::string name = lot.common_name.empty() ? lot.species : lot.common_name;
  return fmt::format("{} {}", lot.id, name.substr(0, name.find(" (")));
}

Outcome of(const WoodLot& lot, Result result, std::string reason) {
  return {result, about(lot), std::move(reason), {lot.entry}};
}

const Species* species_of(const MarketFacts& facts, const WoodLot& lot) {
  const auto found = facts.made.species.find(lot.species);
  return found == facts.made.species.end() ? nullptr : &found->second;
}

Outcome not_in_tables(const WoodLot& lot) {
  return of(
      lot, Result::not_known,
      fmt::format("{} is given as '{}', a wood that the tables do not know.", lot.id, lot.species));
}

Outcome never_looked_up(const WoodLot& lot, const char* list) {
  return of(lot, Result::not_known,
            fmt::format("{} is a wood of yours, which this program has not looked up in {}.",
                        lot.id, list));
}

// One outcome a lot, by `judge`, which gets the lot and its species.
template <typename Judge>
Outcomes by_lot(const MarketFacts& facts, const Judge& judge) {
  Outcomes out;
  for (const WoodLot& lot : facts.made.wood) {
    const Species* species = species_of(facts, lot);
    out.push_back(species ? judge(lot, *species) : not_in_tables(lot));
  }
  return out;
}

// The paper on where a lot comes from, for this market and not past its last day; the latest
// counts.
const Statement* origin_paper(const MarketFacts& facts, const WoodLot& lot) {
  const Statement* out = nullptr;
  for (const Statement& statement : facts.made.statements)
    if (statement.about == "origin" && statement.subject == lot.id &&
        covers(statement.market, facts.leaving.market) && !is_over(statement, facts))
      out = &statement;
  return out;
}

// Why a wood is neither hard nor close-grained enough, as far as a figure or a class says so.
std::string falls_short(const Species& wood) {
  if (wood.toxic) return "is listed as a direct poison";
  if (wood.group == "softwood") return "is a softwood";
  if (wood.pore == "ring") return "is ring-porous, with open pores: not close-grained";
  if (!wood.side_hardness_n) return "";
  const int share = 100 * *wood.side_hardness_n / hard_maple_hardness_n;
  if (share >= about_as_hard_pct) return "";
  return fmt::format("has {} % of hard maple's side hardness ({} N against {} N)", share,
                     *wood.side_hardness_n, hard_maple_hardness_n);
}

Outcome judge_food_code(const WoodLot& lot, const Species& wood) {
  if (wood.food_code_named)
    return of(lot, Result::held, fmt::format("{} is hard maple, which the Code names.", lot.id));
  if (wood.group == "grass")
    return of(
        lot, Result::yours,
        fmt::format("{} is a grass, and the Code speaks of wood: ask the inspector.", about(lot)));
  if (const std::string why = falls_short(wood); !why.empty())
    return of(
        lot, Result::not_held,
        fmt::format("{} {}. Where the line lies is ours; the inspector decides.", about(lot), why));
  if (wood.pore.empty() || !wood.side_hardness_n)
    return of(lot, Result::not_known,
              fmt::format("No source gives the {} of {}.",
                          wood.pore.empty() ? "pore class" : "side hardness", about(lot)));
  return of(
      lot, Result::yours,
      fmt::format("{} is {}-porous and has {} % of hard maple's side hardness. The Code gives "
                  "no number: whether that is equally hard and close-grained, the inspector "
                  "decides.",
                  about(lot), wood.pore, 100 * *wood.side_hardness_n / hard_maple_hardness_n));
}

// What the table adds: that the order names no species, say, or whether it means this one.
Outcome judge_french(const WoodLot& lot, const Species& wood) {
  const std::string& note = wood.fr1945_note;
  const auto noted = [&](std::string_view words) { return note.find(words) != std::string::npos; };
  const std::string listed = wood.fr1945.empty()    ? "is not listed"
                             : wood.fr1945 == "all" ? "is listed for all foods"
                                                    : "is listed for solid foods only";
  std::string reason = fmt::format("{} {}.{}", about(lot), listed, note.empty() ? "" : " " + note);
  if (noted("is not said")) return of(lot, Result::not_known, reason);
  if (wood.fr1945.empty())
    return of(lot, Result::yours,
              reason +
                  " The list is short, and not being on it is no stop: the maker then shows "
                  "that article 3 of Regulation (EC) 1935/2004 is met.");
  return of(lot, noted("names no species") ? Result::yours : Result::held, reason);
}

Outcome judge_cites(const MarketFacts& facts, const WoodLot& lot, const Species& wood) {
  if (lot.botanical_name.empty())
    return of(lot, Result::not_held,
              fmt::format("{} has no botanical name, and the lists go by it.", about(lot)));
  if (wood.cites_appendix.empty())
    return of(lot, Result::held,
              fmt::format("{} is recorded as {}, which is not listed in this program's table; the "
                          "table is from memory and lists change: look again before it crosses a "
                          "border.",
                          lot.id, lot.botanical_name));
  const std::string listed =
      fmt::format("{} ({}) is in Appendix {}", about(lot), lot.botanical_name, wood.cites_appendix);
  const Statement* paper = origin_paper(facts, lot);
  if (wood.cites_appendix == "I" || !paper || paper->reference.empty())
    return of(lot, Result::not_held,
              fmt::format("{}, and {}.", listed,
                          wood.cites_appendix == "I"
                              ? "trade in it is barred; old stock needs papers"
                              : "no permit or origin paper with its number, for this market and "
                                "still valid, is recorded"));
  Outcome out = of(lot, Result::yours,
                   fmt::format("{}. Recorded: '{}'. Whether that paper covers this crossing, the "
                               "office tells.",
                               listed, paper->reference));
  out.entries.push_back(paper->entry);
  return out;
}

Outcome judge_history(const WoodLot& lot) {
  if (lot.treated.value_or(false))
    return of(lot, Result::not_held,
              fmt::format("{} was treated with a preservative.", about(lot)));
  if (lot.reclaimed && lot.mark == "MB")
    return of(lot, Result::not_held,
              fmt::format("{} is reclaimed and bears the mark MB: methyl bromide.", about(lot)));
  if (lot.reclaimed && (lot.mark.empty() || lot.mark == "none"))
    return of(lot, Result::not_known,
              fmt::format("{} is reclaimed and {}: what it went through is not recorded.",
                          about(lot), lot.mark.empty() ? "no mark is recorded" : "bears no mark"));
  if (lot.reclaimed)
    return of(lot, Result::yours,
              fmt::format("{} is reclaimed and bears the mark {}, which tells of pests alone and "
                          "not of spills or paint.",
                          about(lot), lot.mark));
  if (!lot.treated)
    return of(lot, Result::not_known,
              fmt::format("Whether {} was treated is not recorded: ask its supplier.", about(lot)));
  return of(lot, Result::held,
            fmt::format("{} is recorded as not treated, and nothing recorded says that it is "
                        "reclaimed.",
                        about(lot)));
}

Outcome judge_origin(const MarketFacts& facts, const WoodLot& lot) {
  const Statement* paper = origin_paper(facts, lot);
  std::vector<std::string> missing;
  if (lot.botanical_name.empty()) missing.emplace_back("no botanical name");
  if (lot.origin.empty()) missing.emplace_back("no country of harvest");
  if (lot.supplier.empty()) missing.emplace_back("no supplier");
  if (!paper) missing.emplace_back("no valid paper on its origin for this market");
  if (!missing.empty())
    return of(lot, lot.from_customer ? Result::not_known : Result::not_held,
              fmt::format("{}{}: {} is recorded.", about(lot),
                          lot.from_customer ? ", a customer's own wood" : "", join_words(missing)));
  Outcome out =
      of(lot, Result::held,
         fmt::format("{}: {}, {}, from {}{}.", lot.id, lot.botanical_name, lot.origin, lot.supplier,
                     paper->reference.empty() ? "" : ", paper '" + paper->reference + "'"));
  out.entries.push_back(paper->entry);
  return out;
}

}  // namespace

Outcomes hard_close_grained_wood(const MarketFacts& facts, const Rule&) {
  return by_lot(facts, judge_food_code);
}

Outcomes wood_listed_in_france(const MarketFacts& facts, const Rule&) {
  return by_lot(facts, [&](const WoodLot& lot, const Species& wood) {
    return facts.own_species.contains(wood.id) ? never_looked_up(lot, "the order")
                                               : judge_french(lot, wood);
  });
}

Outcomes cites_listed_wood(const MarketFacts& facts, const Rule&) {
  return by_lot(facts, [&](const WoodLot& lot, const Species& wood) {
    return facts.own_species.contains(wood.id) ? never_looked_up(lot, "the Appendices")
                                               : judge_cites(facts, lot, wood);
  });
}

Outcomes wood_history(const MarketFacts& facts, const Rule&) {
  Outcomes out;
  for (const WoodLot& lot : facts.made.wood) out.push_back(judge_history(lot));
  return out;
}

Outcomes timber_origin(const MarketFacts& facts, const Rule&) {
  Outcomes out;
  for (const WoodLot& lot : facts.made.wood) out.push_back(judge_origin(facts, lot));
  return out;
}

}  // namespace trencher::engine::rules
