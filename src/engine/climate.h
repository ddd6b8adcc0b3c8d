// Dew point (Magnus form, WMO-No. 8 Annex 4.B) and equilibrium moisture content of wood (Wood
// Handbook FPL-GTR-190, eq. 4-5).
#pragma once

namespace trencher::engine {

// °C, over water; temp -45 to 60 °C, 0 < rh <= 100 %. Error::request outside; at 0 % none exists.
double dew_point_c(double temp_c, double rh_pct);

// The borrowed coating rule: a surface at least 3 °C above the dew point (made for steel; no
// standard for wood was found).
inline constexpr double dew_point_margin_c = 3.0;
double lowest_surface_c(double temp_c, double rh_pct);

// Moisture content of wood in balance with the air, % of dry mass. temp -1.2 °C (30 °F, where the
// handbook's table begins) to 100 °C, rh 0 to 100 %. Error::request outside.
double emc_pct(double temp_c, double rh_pct);

}  // namespace trencher::engine
