// Boards under the words of the FDA Food Code 4-101.17 (read as adopted in Washington WAC
// 246-215-04130, Minnesota 4626.0490 and others): wood may not be a food-contact surface, save
// "hard maple or an equivalently hard, close-grained wood" for boards, blocks, tables, and utensils
// such as rolling pins and salad bowls. The Code gives no hardness, no list and no pore class. So
// only the rows of hard maple, and that soft or open-grained woods do not come out like it, are the
// Code's; where each line lies is ours, and the table says what our lines make of woods that we
// ship.
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "engine/suitability.h"
#include "reference/reference.h"

namespace {

using namespace trencher;
using namespace trencher::engine;

Instant now() {
  return std::chrono::sys_days{
      Day{std::chrono::year{2027}, std::chrono::month{3}, std::chrono::day{1}}};
}

std::vector<Finding> judged(const std::string& species, const std::string& use) {
  const Species* found = reference::find_species(species);
  INFO(species);
  REQUIRE(found);
  SuitabilityFacts facts;
  facts.species[species] = *found;
  WoodLot lot;
  lot.id = "W1";
  lot.species = species;
  lot.common_name = found->common_name;
  facts.wood = {lot};
  facts.work.batch.use = use;
  Stay stay;
  stay.from = now();
  stay.place.id = stay.place.name = "shop";
  return suitability(facts, Conditions({stay}), now());
}

// "pore fine, hardness fine, poison fine": the checks on a wood that are made of it.
std::string outcome(const std::string& species, const std::string& use) {
  const std::pair<const char*, const char*> checks[] = {{"species-pore", "pore"},
                                                        {"species-hardness", "hardness"},
                                                        {"softwood", "softwood"},
                                                        {"species-toxicity", "poison"}};
  std::string out;
  for (const auto& [check, word] : checks)
    for (const Finding& f : judged(species, use))
      if (f.check == check)
        out +=
            (out.empty() ? "" : ", ") + std::string(word) + " " + std::string(to_string(f.result));
  return out;
}

struct Row {
  const char* species;
  const char* use;
  const char* outcome;
  bool code;  // follows from the Code's words; else the lines are ours
};

}  // namespace

TEST_CASE("published: boards come out as the Food Code's words and our lines ask") {
  const Row rows[] = {
      {"hard-maple", "cutting-board", "pore fine, hardness fine, poison fine", true},
      {"hard-maple", "salad-bowl", "pore fine, hardness fine, poison fine", true},
      {"hard-maple", "utensil", "pore fine, hardness fine, poison fine", true},
      // As hard and close-grained.
      {"american-beech", "cutting-board", "pore fine, hardness fine, poison fine", false},
      {"european-hornbeam", "cutting-board", "pore fine, hardness fine, poison fine", false},
      {"pear", "cutting-board", "pore fine, hardness fine, poison fine", false},
      // Close-grained and softer.
      {"soft-maple", "cutting-board", "pore fine, hardness caution, poison fine", false},
      {"black-cherry", "cutting-board", "pore fine, hardness caution, poison fine", false},
      {"black-walnut", "cutting-board", "pore fine, hardness caution, poison fine", false},
      {"sycamore-maple", "cutting-board", "pore fine, hardness caution, poison fine", false},
      // Far softer.
      {"basswood", "cutting-board", "pore fine, hardness stop, poison fine", false},
      {"yellow-poplar", "cutting-board", "pore fine, hardness stop, poison fine", false},
      {"red-alder", "cutting-board", "pore fine, hardness stop, poison fine", false},
      // Open-grained: hard enough does not help.
      {"red-oak", "cutting-board", "pore caution, hardness caution, poison fine", false},
      {"white-oak", "cutting-board", "pore caution, hardness fine, poison fine", false},
      {"shagbark-hickory", "cutting-board", "pore caution, hardness fine, poison fine", false},
      {"white-ash", "salad-bowl", "pore caution, hardness fine, poison fine", false},
      // Softwoods.
      {"eastern-white-pine", "cutting-board",
       "pore caution, hardness stop, softwood stop, poison fine", false},
      {"douglas-fir", "cutting-board", "pore caution, hardness stop, softwood stop, poison fine",
       false},
      {"western-redcedar", "serving-board", "pore fine, softwood caution, poison fine", false},
      // Harder than hard maple, and poisonous.
      {"yew", "cutting-board", "pore caution, hardness fine, softwood stop, poison stop", false},
      {"oleander", "cutting-board", "pore fine, hardness not known, poison stop", false},
      // The Code speaks of wood; bamboo is a grass.
      {"bamboo", "cutting-board", "pore caution, hardness fine, poison fine", false},
      // No figure was found.
      {"acacia", "cutting-board", "pore fine, hardness not known, poison fine", false},
  };
  for (const Row& row : rows) {
    INFO(row.species << " as " << row.use
                     << (row.code ? " (the Code's words)" : " (lines of ours)"));
    CHECK(outcome(row.species, row.use) == row.outcome);
  }
}

TEST_CASE("published: the wood that the Food Code names meets no stop and no caution as a wood") {
  for (const char* use : {"cutting-board", "serving-board", "salad-bowl", "utensil"})
    for (const Finding& f : judged("hard-maple", use)) {
      INFO(use << ": " << f.check << ": " << f.reason);
      CHECK(f.result != Result::stop);
      CHECK(f.result != Result::caution);
    }
}

TEST_CASE("published: findings that draw a line of ours under the Food Code say so") {
  for (const Species& wood : reference::species())
    for (const Finding& f : judged(wood.id, "cutting-board"))
      if (f.check == "species-pore" || f.check == "species-hardness" || f.check == "softwood") {
        INFO(wood.id << ": " << f.check);
        CHECK(f.source.find("Food Code 4-101.17") != std::string::npos);
        CHECK(f.source.find("ours") != std::string::npos);
      }
}
