// Dew point against published tables and charts.
#include <array>
#include <catch2/catch.hpp>
#include <cmath>

#include "engine/climate.h"

using namespace trencher::engine;

namespace {

struct Row {
  double air, rh, dew;
};

double celsius(double fahrenheit) { return (fahrenheit - 32) * 5 / 9; }
double fahrenheit(double degrees) { return degrees * 9 / 5 + 32; }

}  // namespace

TEST_CASE("a building-physics table and its 3 degree rule are met") {
  // Read: 20 °C at 70 % has 14.4 °C and wants a surface of 17.4; 10 °C at 90 % has 8.4, wants 11.4.
  CHECK(dew_point_c(20, 70) == Approx(14.4).margin(0.1));
  CHECK(lowest_surface_c(20, 70) == Approx(17.4).margin(0.1));
  CHECK(dew_point_c(10, 90) == Approx(8.4).margin(0.1));
  CHECK(lowest_surface_c(10, 90) == Approx(11.4).margin(0.1));
}

TEST_CASE("a coating dew-point chart in Fahrenheit is met within a degree") {
  // Read, whole degrees. Only from 50 % up: below, this chart and its copies run up to 2.4 °F low.
  constexpr std::array<Row, 12> chart{{{50, 90, 47},
                                       {60, 90, 57},
                                       {60, 80, 54},
                                       {60, 70, 50},
                                       {70, 90, 67},
                                       {70, 80, 63},
                                       {70, 75, 62},
                                       {70, 65, 57},
                                       {70, 55, 53},
                                       {70, 50, 50},
                                       {80, 80, 73},
                                       {80, 60, 64}}};
  for (const auto& [air, rh, dew] : chart) {
    INFO(air << " °F, " << rh << " %");
    CHECK(std::abs(fahrenheit(dew_point_c(celsius(air), rh)) - dew) < 1);
  }
}

TEST_CASE("dew points of DIN 4108-3 from memory are met within 0.06") {
  // From memory of the standard's table; not read.
  constexpr std::array<Row, 12> table{{{20, 50, 9.3},
                                       {20, 60, 12.0},
                                       {20, 80, 16.4},
                                       {15, 60, 7.3},
                                       {15, 70, 9.6},
                                       {25, 50, 13.9},
                                       {25, 60, 16.7},
                                       {25, 80, 21.3},
                                       {30, 50, 18.4},
                                       {30, 70, 23.9},
                                       {10, 60, 2.6},
                                       {10, 80, 6.7}}};
  for (const auto& [air, rh, dew] : table) {
    INFO(air << " °C, " << rh << " %");
    CHECK(std::abs(dew_point_c(air, rh) - dew) < 0.06);
  }
}

TEST_CASE("another published set of coefficients gives the same dew point within 0.014") {
  // Alduchov and Eskridge 1996: 17.625 and 243.04 (read on a calculator's page).
  for (double t = 0; t <= 45; t += 2.5)
    for (double rh = 20; rh <= 100; rh += 5) {
      const double g = std::log(rh / 100) + 17.625 * t / (243.04 + t);
      CHECK(std::abs(dew_point_c(t, rh) - 243.04 * g / (17.625 - g)) < 0.0145);
    }
}
