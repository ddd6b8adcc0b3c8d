#include "engine/climate.h"

#include <catch2/catch.hpp>
#include <limits>

#include "domain/error.h"

using namespace trencher;
using namespace trencher::engine;

TEST_CASE("the dew point is the air temperature when the air is full and below it otherwise") {
  for (double t = -40; t <= 60; t += 5) {
    CHECK(dew_point_c(t, 100) == Approx(t).margin(1e-9));
    for (double rh = 1; rh < 100; rh += 3) {
      CHECK(dew_point_c(t, rh) < t);
      CHECK(dew_point_c(t, rh + 1) > dew_point_c(t, rh));
    }
  }
}

TEST_CASE("a surface must be three degrees above the dew point") {
  CHECK(lowest_surface_c(18, 62) == Approx(dew_point_c(18, 62) + 3).margin(1e-12));
}

TEST_CASE("a dew point that does not exist is refused with the rule") {
  CHECK_THROWS_WITH(dew_point_c(20, 0),
                    "Humidity in % 0 is outside 0 to 100; at 0 there is no dew point.");
  CHECK_THROWS_WITH(dew_point_c(70, 50),
                    "Temperature in °C 70 is outside -45 to 60, where the "
                    "dew-point formula holds.");
  CHECK_THROWS_AS(dew_point_c(20, 101), Error);
  CHECK_THROWS_AS(dew_point_c(std::numeric_limits<double>::quiet_NaN(), 50), Error);
}

TEST_CASE("wood moisture outside the range of its equation is refused") {
  CHECK_THROWS_WITH(emc_pct(-5, 50),
                    "Temperature in °C -5 is outside -1.2 to 100, where the "
                    "equation for the moisture of wood holds.");
  CHECK_THROWS_WITH(emc_pct(20, 101), "Humidity in % 101 is outside 0 to 100.");
  CHECK_NOTHROW(emc_pct(20, 0));
}

TEST_CASE("the equation for wood moisture gives its worked values") {
  // Worked by hand from the handbook's equation 4-5 at 30, 50, 65, 80 and 95 %.
  const auto check = [](double t, double a, double b, double c, double d, double e) {
    CHECK(emc_pct(t, 30) == Approx(a).margin(0.0006));
    CHECK(emc_pct(t, 50) == Approx(b).margin(0.0006));
    CHECK(emc_pct(t, 65) == Approx(c).margin(0.0006));
    CHECK(emc_pct(t, 80) == Approx(d).margin(0.0006));
    CHECK(emc_pct(t, 95) == Approx(e).margin(0.0006));
  };
  check(0, 6.316, 9.519, 12.373, 16.533, 24.343);
  check(10, 6.305, 9.466, 12.267, 16.382, 24.272);
  check(21.1111, 6.170, 9.242, 11.958, 15.989, 23.891);
  check(30, 5.985, 8.969, 11.605, 15.548, 23.407);
  check(40, 5.715, 8.587, 11.126, 14.953, 22.714);
}
