// Twenty boards against two published lists, as findings show them for a market.
//
// FDA Food Code 4-101.17 (read as adopted in Washington WAC 246-215-04130, Minnesota 4626.0490 and
// others): hard maple "or an equivalently hard, close-grained wood". It names one wood and gives no
// number. So only hard maple is held by the Code's own words; that soft, open-pored and poisonous
// woods are not held, and that the rest is the inspector's to decide, is how we read it.
//
// French order of 15 November 1945 with the notes DGCCRF 2006-58 and 2012-93 (read in two digests
// that agree): oak, hornbeam, chestnut, ash, robinia for all foods; walnut, beech, elm, poplar for
// solid foods; later also douglas, plane, olive and others. What is not on it is not listed: the
// maker shows that article 3 of Regulation (EC) 1935/2004 is met.
#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "engine/market.h"
#include "reference/reference.h"

namespace {

using namespace trencher;
using namespace trencher::engine;

Finding finding_on(const std::string& species, const std::string& check, const std::string& market,
                   bool food_business) {
  const Species* wood = reference::find_species(species);
  REQUIRE(wood);
  MarketFacts facts;
  facts.made.species[species] = *wood;
  WoodLot lot;
  lot.entry = 7;
  lot.id = "W1";
  lot.species = species;
  lot.common_name = wood->common_name;
  lot.botanical_name = wood->botanical_name;
  facts.made.wood = {lot};
  facts.made.work.batch.code = "27-001";
  facts.made.work.batch.use = "cutting-board";
  facts.leaving = {market, "sale", food_business};
  const auto rules = reference::rules_of(market, check);
  REQUIRE(rules.size() == 1);
  const auto found = market_findings(facts, rules);
  REQUIRE(found.size() == 1);
  return found.front();
}

std::string outcome(const Finding& found) { return std::string(to_string(found.result)); }

struct Board {
  const char* species;
  const char* food_code;
  const char* french;
  const char* french_result;  // what the order leaves open is yours, or not known
};

const Board boards[] = {
    {"hard-maple", "held", "not listed", "yours to decide"},
    {"soft-maple", "not held", "not listed", "yours to decide"},          // 4200 N of 6400
    {"black-walnut", "not held", "solid foods only", "yours to decide"},  // 70 %
    {"black-cherry", "not held", "not listed", "yours to decide"},        // 66 %
    {"european-beech", "yours to decide", "solid foods only", "held"},
    {"european-hornbeam", "yours to decide", "all foods", "held"},
    {"pear", "yours to decide", "not listed", "yours to decide"},
    {"olive", "yours to decide", "all foods", "held"},
    {"european-oak", "not held", "all foods", "held"},   // open pores
    {"red-oak", "not held", "not listed", "not known"},  // another oak than the French one
    {"european-ash", "not held", "all foods", "held"},
    {"white-ash", "not held", "not listed", "not known"},
    {"black-locust", "not held", "all foods", "held"},  // hard enough, open pores
    {"sweet-chestnut", "not held", "all foods", "held"},
    {"american-elm", "not held", "solid foods only", "yours to decide"},
    {"yellow-poplar", "not held", "not listed", "yours to decide"},  // no true poplar
    {"douglas-fir", "not held", "all foods", "held"},                // a softwood
    {"eastern-white-pine", "not held", "not listed", "yours to decide"},
    {"yew", "not held", "not listed", "yours to decide"},      // harder than many, and poisonous
    {"acacia", "not known", "not listed", "yours to decide"},  // no sourced hardness
};

}  // namespace

TEST_CASE("published: twenty boards under Food Code 4-101.17") {
  for (const Board& board : boards) {
    INFO(board.species);
    const Finding found = finding_on(board.species, "hard-close-grained-wood", "us", true);
    CHECK(outcome(found) == board.food_code);
    CHECK(found.source.find("4-101.17") != std::string::npos);
    CHECK(found.entries == std::vector<std::int64_t>{7});
  }
}

TEST_CASE("published: twenty boards under the French order of 1945") {
  for (const Board& board : boards) {
    INFO(board.species);
    const Finding found = finding_on(board.species, "wood-listed-in-france", "eu", false);
    CHECK(found.reason.find(board.french) != std::string::npos);
    CHECK(outcome(found) == board.french_result);
    CHECK(found.rule == "eu-fr-1945");
  }
}

TEST_CASE("published: some shipped rule asks for every check") {
  const auto shipped = reference::rules();
  for (const std::string_view name : rule_checks) {
    INFO(name);
    CHECK(std::any_of(shipped.begin(), shipped.end(),
                      [&](const Rule& rule) { return rule.check == name; }));
  }
}

TEST_CASE("published: the Food Code is asked of boards for food businesses alone") {
  const auto rules = reference::rules_of("us", "hard-close-grained-wood");
  SuitabilityFacts made;
  made.work.batch.use = "cutting-board";
  REQUIRE(rules.size() == 1);
  CHECK(applies(rules[0], made, {"us", "sale", true}));
  CHECK_FALSE(applies(rules[0], made, {"us", "sale", false}));
}

TEST_CASE("published: woods of the CITES Appendices want a paper, and no others do") {
  // Appendices as of 2022 and notices of 2023 and 2024, from memory: schema/reference/sources.csv.
  for (const char* id : {"cocobolo", "bubinga", "african-padauk", "true-mahogany", "lignum-vitae",
                         "ipe", "african-mahogany", "east-indian-rosewood", "brazilian-rosewood"}) {
    INFO(id);
    CHECK(outcome(finding_on(id, "cites-listed-wood", "us", false)) == "not held");
  }
  for (const char* id : {"hard-maple", "teak", "wenge", "purpleheart"}) {
    INFO(id);
    const Finding found = finding_on(id, "cites-listed-wood", "us", false);
    CHECK(outcome(found) == "held");
    CHECK(found.reason.find("not listed in this program's table") != std::string::npos);
  }
}
