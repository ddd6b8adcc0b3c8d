// What a step takes: exact whole numbers, rounded up.
#include "engine/amounts.h"

#include <catch2/catch.hpp>

#include "domain/error.h"

using namespace trencher;
using namespace trencher::engine;

namespace {

constexpr Length mm(std::int64_t value) { return {value * 1000}; }
const Size board{mm(400), mm(250), mm(22)};  // 2286 cm2
const Amount nothing{Amount::Measure::mass, 0};

}  // namespace

TEST_CASE("amounts: a coat is area over coverage and rounded up to a microlitre") {
  CHECK(coat_amount(board, 1, {22'860}) == Amount{Amount::Measure::volume, 100'000});
  CHECK(coat_amount(board, 6, {120'000}) == Amount{Amount::Measure::volume, 114'300});
  CHECK(coat_amount(board, 1, {70'000}).value == 32'658);  // 32,657.14
  CHECK(coat_amount(board, 0, {120'000}).value == 0);
}

TEST_CASE("amounts: a coverage that is not above 0 is refused") {
  for (const std::int64_t none : {0, -1}) {
    CHECK_THROWS_AS(coat_amount(board, 1, {none}), Error);
    CHECK_THROWS_AS(coverage_at_thickness({none}), Error);
  }
}

TEST_CASE("amounts: glue is reckoned by joints and there is one fewer than strips") {
  // A joint of 400 x 22 mm is 0.0088 m2: 2.2 g at 250 g/m2.
  CHECK(glue_amount(board, 1, 2) == Amount{Amount::Measure::mass, 2200});
  CHECK(glue_amount(board, 3, 6) == Amount{Amount::Measure::mass, 33'000});
  CHECK(glue_amount(board, 3, 1) == nothing);
  CHECK(glue_amount({{1}, {1}, {1}}, 1, 2).value == 1);  // never rounded down to nothing
  CHECK_THROWS_AS(glue_amount(board, 1, 0), Error);
}

TEST_CASE("amounts: a clamp more is wanted as soon as the gap would be too long") {
  CHECK(clamp_count(mm(325)) == 2);
  CHECK(clamp_count({325'001}) == 3);
  CHECK(clamp_count(mm(550)) == 3);
  CHECK(clamp_count({550'001}) == 4);
  CHECK(clamp_count(mm(100)) == 1);
  CHECK(clamp_count(mm(40)) == 1);
}

TEST_CASE("amounts: coverage by thickness is rounded down") {
  CHECK(coverage_at_thickness({100}).cm2_per_l == 100'000);
  CHECK(coverage_at_thickness({30}).cm2_per_l == 333'333);
}

TEST_CASE("amounts: wood moves with width and points and shrinkage and back again") {
  CHECK(wood_movement(mm(280), 1, 10).um == 1000);
  CHECK(wood_movement(mm(280), -1, 10).um == -1000);
  CHECK(wood_movement(mm(280), 0, 10).um == 0);
  CHECK(wood_movement(mm(560), 2, 5).um == 2000);
}
