// Cure so far: the time at the label's reference conditions that a stretch of time is worth
// ("equivalent age", after the maturity method of ASTM C1074; Arrhenius, activation energies and
// humidity factors by mechanism from the project's notes, marked there as ours and conservative).
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "domain/label.h"
#include "engine/conditions.h"

namespace trencher::engine {

inline constexpr double gas_constant = 8.314;  // J/(mol K)
inline constexpr double zero_celsius_k = 273.15;

struct CureLaw {
  Mechanism mechanism = Mechanism::none;
  bool water_borne = false;
  double activation_k = 0;         // Ea / R in kelvin; 0: temperature does not count
  double reference_c = 20;         // the label's, else 20
  double reference_rh_pct = 50;    // the label's, else 50
  std::optional<double> lowest_c;  // below it nothing cures
  bool operator==(const CureLaw&) const = default;
};

// Activation energies in kJ/mol, all ours: oxidative and two-part 60, coalescing and water glue 50,
// solvent 45, moisture glue 60 (no source; with rates capped at 1 the larger is the cautious one).
CureLaw cure_law(const Label& label);
// Whether damp or dry air changes how this cures.
bool humidity_counts(const CureLaw& law);
// Whether water has to leave, so that the label's reference humidity counts too.
bool reference_humidity_counts(const CureLaw& law);

// exp(-Q (1/T - 1/Tref)): above 1 when warmer than the reference.
double arrhenius(double activation_k, double temp_c, double reference_c);
// By mechanism, 0 to 1; an absent humidity counts as 65 % (see humidity_assumed_pct).
inline constexpr double humidity_assumed_pct = 65;
double humidity_factor(const CureLaw& law, std::optional<double> rh_pct);
// Hours of cure per hour: 0 below the lowest temperature, else min(1, arrhenius) x humidity factor.
double rate(const CureLaw& law, double temp_c, std::optional<double> rh_pct);
// The same but for the humidity.
double warmth(const CureLaw& law, double temp_c);
// For longest waits, which heat shortens: at least 1, uncapped, no humidity.
double upper_rate(const CureLaw& law, double temp_c);

enum class Direction { shortest, longest };  // which of the two rates counts

// Cure over the stretches, in seconds, exact to 1e-9 relative (linear ramps included). Where no
// temperature is known it counts as the reference.
double cure_over(const CureLaw& law, const std::vector<Stretch>& stretches,
                 Direction direction = Direction::shortest);

// The same integral of the bare Arrhenius ratio: no cap, no lowest temperature, no humidity. It is
// what published maturity numbers are checked with; no date rests on it.
double equivalent_age_uncapped(double activation_k, double reference_c,
                               const std::vector<Stretch>& stretches);

// One line of the arithmetic: constant or averaged conditions over a stretch and what it gave.
struct CurePart {
  Instant from, to;
  std::optional<double> mean_temp_c, mean_rh_pct;
  bool steady = true;         // conditions did not change within it
  double below_lowest_s = 0;  // of it, too cold to count
  double factor = 0;          // cure / elapsed
  double cure_s = 0;
  bool guessed = false;  // a condition that this cure depends on
  std::string why;       // of the guess
};

struct Reached {
  std::optional<Instant> at;  // absent: never, as conditions stand (say, for ever below the lowest)
  bool guessed = false;       // some condition on the way was guessed
  std::vector<CurePart> parts;  // from start to `at`; where it is never reached, for ten years
};

// When `wait` seconds of cure, begun at `start`, are reached: the first whole second not before it
// (Direction::longest: the last not after it).
// Never before start + wait for Direction::shortest; never after it for Direction::longest.
// Looks at most ten years ahead.
Reached when_reached(const CureLaw& law, Instant start, Seconds wait, const Conditions& conditions,
                     Direction direction = Direction::shortest);

// Cure gained from `start` to `now`, as seconds (for the chart and for `due`).
double cure_so_far(const CureLaw& law, Instant start, Instant now, const Conditions& conditions);
// The part of it that rests on readings alone: guessed time counts nothing.
double cure_by_readings(const CureLaw& law, Instant start, Instant now,
                        const Conditions& conditions);

}  // namespace trencher::engine
