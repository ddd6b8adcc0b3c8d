// The arithmetic of the bench against what makers say. Every figure here is common practice, no
// source, unless a line names one; where it is geometry, that is said.
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/amounts.h"
#include "reference/reference.h"

using namespace trencher;
using namespace trencher::engine;

namespace {

constexpr Length mm(std::int64_t value) { return {value * 1000}; }
constexpr double mm_of(Length length) { return static_cast<double>(length.um) / 1000; }
constexpr double ml_of(const Amount& amount) { return static_cast<double>(amount.value) / 1000; }
constexpr double m2_of(std::int64_t cm2) { return static_cast<double>(cm2) / 10'000; }

const Size example{mm(400), mm(250), mm(22)};
const Size oiled{mm(400), mm(300), mm(20)};

}  // namespace

// Geometry, exact, as worked out in the project's notes on practice: 2(LW + LT + WT).
TEST_CASE("published: a board of 400 by 250 by 22 mm has 0.2286 m2 and one by 300 by 20 has 0.27") {
  CHECK(surface_cm2(example) == 2286);
  CHECK(m2_of(surface_cm2(oiled)) == Approx(0.27).margin(0.005));
}

// Common practice, no source: 30 to 60 ml of oil for the first coat of a board of 400 x 300 x 20.
TEST_CASE("published: the first coat of oil takes up to 60 ml and not less than 30") {
  for (const std::string id : {"mineral-oil", "mineral-oil-beeswax", "fractionated-coconut-oil"}) {
    const FinishKind* oil = reference::find_finish(id);
    INFO(id);
    REQUIRE(oil);
    REQUIRE(oil->coverage);
    const double ml = ml_of(coat_amount(oiled, 1, *oil->coverage));
    CHECK(ml >= 30);
    CHECK(ml == Approx(60).margin(0.5));  // the thirsty end, to two digits
  }
}

// Common practice, no source: film finishes cover 10 to 12 m2/l in one coat. By the identity below
// that is a wet film of 83 to 100 um.
TEST_CASE("published: film finishes cover 10 to 12 m2 a litre") {
  for (const std::string id : {"oil-polyurethane", "water-polyurethane"}) {
    const FinishKind* film = reference::find_finish(id);
    INFO(id);
    REQUIRE(film);
    REQUIRE(film->coverage);
    CHECK(film->coverage->cm2_per_l >= 100'000);
    CHECK(film->coverage->cm2_per_l <= 120'000);
  }
  CHECK(coverage_at_thickness({100}).cm2_per_l == 100'000);
  CHECK(static_cast<double>(coverage_at_thickness({83}).cm2_per_l) / 10'000 ==
        Approx(12).margin(0.1));
  // 0.2286 m2 at 10 and 12 m2/l, by hand.
  CHECK(ml_of(coat_amount(example, 1, {100'000})) == Approx(22.86).margin(0.001));
  CHECK(ml_of(coat_amount(example, 1, {120'000})) == Approx(19.05).margin(0.001));
}

// Geometry, exact: m2/l = 1000 / um; 1 litre at 1 mm is 1 m2.
TEST_CASE("published: a litre at one millimetre covers one square metre") {
  CHECK(coverage_at_thickness(mm(1)).cm2_per_l == 10'000);
  CHECK(ml_of(coat_amount({mm(1000), mm(500), {0}}, 1, coverage_at_thickness(mm(1)))) == 1000);
}

// Common practice, no source: 400 mm takes 3 clamps, 600 mm 4, 900 mm 5; every 200 to 250 mm, the
// first ones 50 mm from the ends.
TEST_CASE("published: clamps stand as close as makers set them") {
  CHECK(clamp_count(mm(400)) == 3);
  CHECK(clamp_count(mm(600)) == 4);
  CHECK(clamp_count(mm(900)) == 5);
  for (int length = 350; length <= 1500; length += 10) {
    const double gap = (length - 100.0) / (clamp_count(mm(length)) - 1);
    INFO(length);
    CHECK(gap <= 250);
  }
}

// Common practice, no source: 150 to 250 g of glue on a square metre of joint.
TEST_CASE("published: glue is reckoned at the larger end of 150 to 250 g a square metre") {
  // Two strips of a metre by 100 mm share 0.1 m2.
  const double g_per_m2 =
      static_cast<double>(glue_amount({mm(1000), mm(300), mm(100)}, 1, 2).value) / 1000 / 0.1;
  CHECK(g_per_m2 == 250);
  // Six strips of the example: five joints of 400 x 22 mm, 0.044 m2, 6.6 to 11 g by hand.
  CHECK(static_cast<double>(glue_amount(example, 1, 6).value) / 1000 == Approx(11).margin(0.001));
}

// Common practice, no source; the shrinkage of hard maple is from the species table: a point of
// moisture moves flat-sawn maple about 0.35 % of its width and quarter-sawn 0.17 %, so that 300 mm
// and 4 points make about 4 mm and 2 mm.
TEST_CASE("published: maple moves as much as makers reckon with") {
  const Species* maple = reference::find_species("hard-maple");
  REQUIRE(maple);
  const double flat = *maple->tangential_shrink_pct, quarter = *maple->radial_shrink_pct;
  CHECK(mm_of(wood_movement(mm(100), 1, flat)) == Approx(0.35).margin(0.005));
  CHECK(mm_of(wood_movement(mm(100), 1, quarter)) == Approx(0.17).margin(0.005));
  CHECK(std::round(mm_of(wood_movement(mm(300), 4, flat))) == 4);
  CHECK(std::round(mm_of(wood_movement(mm(300), 4, quarter))) == 2);
}

// Wood Handbook, FPL-GTR-190 (2010), Table 13-5 (read): coefficients of movement per point of
// moisture. Shrinkage over 28 is the simpler reckoning, which stays within a sixth of them.
TEST_CASE("published: shrinkage over 28 lies near the movement of Wood Handbook Table 13-5") {
  struct Row {
    const char* id;
    double radial, tangential;
  };
  const Row table[] = {{"american-beech", 0.00190, 0.00431},
                       {"yellow-birch", 0.00256, 0.00338},
                       {"black-cherry", 0.00126, 0.00248}};
  for (const Row& row : table) {
    const Species* wood = reference::find_species(row.id);
    INFO(row.id);
    REQUIRE(wood);
    // Of a metre, in millimetres.
    const auto moved = [](double shrink) { return mm_of(wood_movement(mm(1000), 1, shrink)); };
    CHECK(moved(*wood->radial_shrink_pct) == Approx(row.radial * 1000).epsilon(1.0 / 6));
    CHECK(moved(*wood->tangential_shrink_pct) == Approx(row.tangential * 1000).epsilon(1.0 / 6));
  }
}
