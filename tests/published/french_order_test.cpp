// The French order of 15 November 1945 with the notes DGCCRF 2006-58 and 2012-93 (read in two
// digests that agree): woods admitted for all foods, woods for solid foods only, and others without
// a list, for which the maker shows that Article 3 of Regulation (EC) 1935/2004 is met.
#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "engine/suitability.h"
#include "reference/reference.h"

namespace {

using namespace trencher;
using namespace trencher::engine;

std::vector<Finding> as_board(const Species& wood, const std::string& use) {
  SuitabilityFacts facts;
  facts.species[wood.id] = wood;
  WoodLot lot;
  lot.id = "W1";
  lot.species = wood.id;
  lot.common_name = wood.common_name;
  lot.treated = false;
  facts.wood = {lot};
  facts.work.batch.use = use;
  Stay stay;
  stay.from = std::chrono::sys_days{
      Day{std::chrono::year{2027}, std::chrono::month{3}, std::chrono::day{1}}};
  stay.place.id = stay.place.name = "shop";
  return suitability(facts, Conditions({stay}), stay.from);
}

std::string results(const std::vector<Finding>& findings) {
  std::string out;
  for (const Finding& f : findings) out += f.check + " " + std::string(to_string(f.result)) + "/";
  return out;
}

}  // namespace

TEST_CASE(
    "published: no wood that the French order admits for all foods is stopped as a serving board") {
  for (const char* id : {"european-oak", "european-hornbeam", "sweet-chestnut", "european-ash",
                         "black-locust", "douglas-fir", "olive", "london-plane"}) {
    INFO(id);
    const Species* wood = reference::find_species(id);
    REQUIRE(wood);
    CHECK_FALSE(has_stop(as_board(*wood, "serving-board")));
  }
}

TEST_CASE("published: a wood outside the French order is judged as if it were listed") {
  for (const Species& wood : reference::species()) {
    Species other = wood;
    other.fr1945 = wood.fr1945.empty() ? "all" : "";
    for (const char* use : {"cutting-board", "serving-board", "salad-bowl"}) {
      INFO(wood.id << " as " << use);
      CHECK(results(as_board(wood, use)) == results(as_board(other, use)));
    }
  }
}
