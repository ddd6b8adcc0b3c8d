// How much of a product a step is likely to take, and other arithmetic of the bench: exact whole
// numbers, rounded up where too little would be the harm. Estimates, never measurements. Figures of
// the trade are common practice, no source.
#pragma once

#include <cstdint>

#include "domain/quantity.h"

namespace trencher::engine {

inline constexpr std::int64_t glue_g_per_m2 = 250;  // of 150 to 250, the larger end

// For one coat on face, back and edges of so many boards: area / coverage, in microlitres.
// Error::request where the coverage is not above 0.
Amount coat_amount(const Size& size, std::int64_t boards, Coverage coverage);

// In milligrams, for boards glued up of so many strips that run along the length: one joint fewer
// than strips, each of length x thickness. Error::request for fewer than 1 strip.
Amount glue_amount(const Size& size, std::int64_t boards, int strips);

// Clamps along a joint of that length: the first ones 50 mm from the ends, then every 200 to 250
// mm (225 here). At least 1.
int clamp_count(Length length);

// What a litre covers at a wet thickness: 1 litre at 1 mm is 1 m2. Rounded down.
// Error::request where the thickness is not above 0.
Coverage coverage_at_thickness(Length wet);

// How far wood of that width moves across the grain for a change of moisture: `points` is per cent
// of dry mass, `shrink_pct` its shrinkage from green (about 28 % of moisture) to oven-dry, radial
// or tangential. To the nearest micrometre.
Length wood_movement(Length width, double points, double shrink_pct);

}  // namespace trencher::engine
