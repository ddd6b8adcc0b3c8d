#include "paper/scale.h"

#include <catch2/catch.hpp>

using namespace trencher::paper;

TEST_CASE("A scale starts and ends on round numbers around its values") {
  const Scale scale = round_scale(16.2, 23.9, 5);
  CHECK(scale.ticks() == std::vector<double>{16, 18, 20, 22, 24});
  CHECK(scale.position(20) == Approx(0.5));
  CHECK(round_scale(0, 100, 5).ticks() == std::vector<double>{0, 20, 40, 60, 80, 100});
  CHECK(round_scale(-7, 12, 5).ticks() == std::vector<double>{-10, -5, 0, 5, 10, 15});
}

TEST_CASE("Equal values get a scale of some height") {
  const Scale scale = round_scale(18, 18, 5);
  CHECK(scale.low <= 17.5);
  CHECK(scale.high >= 18.5);
  CHECK(scale.ticks().size() <= 6);
}
