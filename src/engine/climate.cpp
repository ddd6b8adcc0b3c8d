#include "engine/climate.h"

#include <fmt/format.h>

#include <cmath>

#include "domain/error.h"

namespace trencher::engine {
namespace {

// Magnus coefficients over water, WMO-No. 8 Annex 4.B (Sonntag 1990).
constexpr double magnus_b = 17.62, magnus_c = 243.12;

// Written so that a NaN is refused too.
void require(bool holds, const char* what, double value, const char* rule) {
  if (!holds) throw Error::request(fmt::format("{} {:g} is outside {}.", what, value, rule));
}

}  // namespace

double dew_point_c(double temp_c, double rh_pct) {
  require(temp_c >= -45 && temp_c <= 60, "Temperature in °C", temp_c,
          "-45 to 60, where the dew-point formula holds");
  require(rh_pct > 0 && rh_pct <= 100, "Humidity in %", rh_pct,
          "0 to 100; at 0 there is no dew point");
  const double g = std::log(rh_pct / 100) + magnus_b * temp_c / (magnus_c + temp_c);
  return magnus_c * g / (magnus_b - g);
}

double lowest_surface_c(double temp_c, double rh_pct) {
  return dew_point_c(temp_c, rh_pct) + dew_point_margin_c;
}

double emc_pct(double t, double rh_pct) {
  require(t >= -1.2 && t <= 100, "Temperature in °C", t,
          "-1.2 to 100, where the equation for the moisture of wood holds");
  require(rh_pct >= 0 && rh_pct <= 100, "Humidity in %", rh_pct, "0 to 100");
  const double w = 349 + 1.29 * t + 0.0135 * t * t;
  const double k = 0.805 + 0.000736 * t - 0.00000273 * t * t;
  const double k1 = 6.27 - 0.00938 * t - 0.000303 * t * t;
  const double k2 = 1.91 + 0.0407 * t - 0.000293 * t * t;
  const double x = k * rh_pct / 100;
  const double hydrates = k1 * x + k1 * k2 * x * x;
  return 1800 / w * (x / (1 - x) + (hydrates + k1 * k2 * x * x) / (1 + hydrates));
}

}  // namespace trencher::engine
