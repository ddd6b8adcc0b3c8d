#include "engine/cure.h"

#include <algorithm>
#include <cmath>

#include "engine/cure_ramp.h"

namespace trencher::engine {
namespace {

double activation_kj(Mechanism mechanism) {
  switch (mechanism) {
    case Mechanism::oxidative:
    case Mechanism::two_part:
    case Mechanism::moisture_glue:
      return 60;
    case Mechanism::coalescing:
    case Mechanism::water_glue:
      return 50;
    case Mechanism::solvent_evaporation:
      return 45;
    case Mechanism::non_drying:
    case Mechanism::wax_set:
    case Mechanism::none:
      break;
  }
  return 0;
}

double total(Rule rule, const CureLaw& law, const std::vector<Stretch>& stretches) {
  double sum = 0;
  for (const Stretch& stretch : stretches) sum += total(rule, law, stretch);
  return sum;
}

}  // namespace

CureLaw cure_law(const Label& label) {
  CureLaw law;
  law.mechanism = label.mechanism;
  law.water_borne = label.water_borne;
  law.activation_k = activation_kj(label.mechanism) * 1000 / gas_constant;
  if (label.reference_temp) law.reference_c = Celsius{label.reference_temp->value}.degrees();
  if (label.reference_rh) law.reference_rh_pct = Percent{label.reference_rh->value}.value();
  if (label.lowest_temp) law.lowest_c = Celsius{label.lowest_temp->value}.degrees();
  return law;
}

bool humidity_counts(const CureLaw& law) { return damp_of(law) != Damp::none; }

bool reference_humidity_counts(const CureLaw& law) { return damp_of(law) == Damp::water_leaves; }

double arrhenius(double activation_k, double temp_c, double reference_c) {
  return arrhenius_by(activation_k, temp_c, reference_per_k(reference_c));
}

double humidity_factor(const CureLaw& law, std::optional<double> rh_pct) {
  const double rh = rh_pct.value_or(humidity_assumed_pct);
  switch (damp_of(law)) {
    case Damp::none:
      break;
    case Damp::air_or_solvent:
      if (rh <= damp_slows_pct) return 1;
      if (rh > damp_stops_pct) return 0;
      return 1 - 0.5 * (rh - damp_slows_pct) / (damp_stops_pct - damp_slows_pct);
    case Damp::water_leaves:
      if (rh >= water_stays_pct) return 0;
      return std::min(1.0, (100 - rh) / (100 - water_reference(law)));
    case Damp::water_needed:
      return std::min(1.0, rh / moisture_enough_pct);
  }
  return 1;
}

double rate(const CureLaw& law, double temp_c, std::optional<double> rh_pct) {
  return warmth(law, temp_c) * humidity_factor(law, rh_pct);
}

double warmth(const CureLaw& law, double temp_c) {
  return warmth_by(law, temp_c, reference_per_k(law.reference_c));
}

double upper_rate(const CureLaw& law, double temp_c) {
  return upper_rate_by(law, temp_c, reference_per_k(law.reference_c));
}

double cure_over(const CureLaw& law, const std::vector<Stretch>& stretches, Direction direction) {
  return total(rule_for(direction), law, stretches);
}

double equivalent_age_uncapped(double activation_k, double reference_c,
                               const std::vector<Stretch>& stretches) {
  CureLaw law;
  law.activation_k = activation_k;
  law.reference_c = reference_c;
  return total(Rule::bare, law, stretches);
}

}  // namespace trencher::engine
