#include "engine/cure_ramp.h"

#include <cmath>
#include <limits>

namespace trencher::engine {
Damp damp_of(const CureLaw& law) {
  switch (law.mechanism) {
    case Mechanism::oxidative:
      return Damp::air_or_solvent;
    case Mechanism::solvent_evaporation:
      return law.water_borne ? Damp::water_leaves : Damp::air_or_solvent;
    case Mechanism::coalescing:
    case Mechanism::water_glue:
      return Damp::water_leaves;
    case Mechanism::moisture_glue:
      return Damp::water_needed;
    case Mechanism::two_part:
    case Mechanism::non_drying:
    case Mechanism::wax_set:
    case Mechanism::none:
      break;
  }
  return Damp::none;
}

double water_reference(const CureLaw& law) {
  return std::min(law.reference_rh_pct, water_stays_pct);
}

Ramp::Ramp(Rule rule, const CureLaw& law, const Stretch& stretch)
    : rule_(rule),
      law_(law),
      length_(stretch.seconds()),
      temp_(line(stretch.temp_from_c, stretch.temp_to_c)),
      rh_(line(stretch.rh_from_pct, stretch.rh_to_pct)),
      per_k_(reference_per_k(law.reference_c)) {
  if (rule_ != Rule::shortest)
    steady_factor_ = 1;
  else if (rh_.change == 0)
    steady_factor_ =
        stretch.rh_from_pct || stretch.temp_from_c ? humidity_factor(law, stretch.rh_from_pct) : 1;
}

double Ramp::rate_at(double t) const {
  const double factor = steady_factor_ ? *steady_factor_ : humidity_factor(law_, rh(t));
  if (!temp_.known) return factor;
  const double temp_c = value(temp_, t);
  switch (rule_) {
    case Rule::shortest:
      return warmth_by(law_, temp_c, per_k_) * factor;
    case Rule::longest:
      return upper_rate_by(law_, temp_c, per_k_);
    case Rule::bare:
      break;
  }
  return arrhenius_by(law_.activation_k, temp_c, per_k_);
}

double Ramp::integral(double a, double b) const {
  if (steady()) return rate_at(a) * (b - a);
  constexpr double x1 = 0.538469310105683091, x2 = 0.906179845938663993;
  constexpr double w0 = 0.568888888888888889, w1 = 0.478628670499366468, w2 = 0.236926885056189088;
  const double middle = (a + b) / 2, half = (b - a) / 2;
  const auto pair = [&](double x) {
    return rate_at(middle - half * x) + rate_at(middle + half * x);
  };
  // A rate is a line times an exponential: fewer points are as good where that hardly bends.
  const double bend = exponent_change(a, b);
  if (bend <= 0.003) return half * pair(0.577350269189625765);
  if (bend <= 0.05)
    return half * (8.0 / 9 * rate_at(middle) + 5.0 / 9 * pair(0.774596669241483377));
  return half * (w0 * rate_at(middle) + w1 * pair(x1) + w2 * pair(x2));
}

double Ramp::crossing(double a, double b, double gain, double need) const {
  if (steady()) return std::min(b, a + need / rate_at(a));
  constexpr double near_s = slack_s / 10;
  // From the parabola through the rates at both ends that gives as much.
  const double span = b - a, first = rate_at(a), last = rate_at(b);
  const double bulge = 6 * (gain / span - (first + last) / 2);
  const double mean = need / span;
  double share = need / gain;
  for (int i = 0; i < 3; ++i) {
    const double slope = first + share * (last - first + bulge * (1 - share));
    const double sum =
        share * (first + share * ((last - first) / 2 + bulge * (0.5 - share * (1.0 / 3))));
    if (slope <= 0) break;
    const double before = share;
    share = std::clamp(share - (sum - mean) / slope, 0.0, 1.0);
    if (std::abs(share - before) < 1e-9) break;
  }
  const double bend = first > 0 && last > 0
                          ? 2 * (std::abs(last - first) + std::abs(bulge)) / span
                          : std::numeric_limits<double>::infinity();  // of the rate, at most
  double low = a, high = b, t = a + span * share;
  double excess = -need, summed = a;  // of the integral up to there
  for (int i = 0; i < 200 && high - low > near_s; ++i) {
    excess += integral(summed, t);
    summed = t;
    (excess < 0 ? low : high) = t;
    const double slope = rate_at(t);
    const double step = slope > 0 ? t - excess / slope : low;
    // What a step of Newton's leaves is less than its square by the bend.
    const double moved = std::abs(step - t);
    if (moved < near_s || moved * moved * bend < slope * near_s / 10) return std::clamp(step, a, b);
    t = step > low && step < high ? step : (low + high) / 2;
  }
  return t;
}

double Ramp::below_lowest(double until) const {
  if (!law_.lowest_c || !temp_.known) return 0;
  const double lowest = *law_.lowest_c, from = temp_.from, to = value(temp_, until);
  if (from >= lowest && to >= lowest) return 0;
  if (from < lowest && to < lowest) return until;
  return until * (lowest - std::min(from, to)) / std::abs(to - from);
}

double Ramp::exponent_change(double a, double b) const {
  if (temp_.change == 0 || law_.activation_k == 0) return 0;
  const double from = value(temp_, a), to = value(temp_, b);
  return std::abs(law_.activation_k * (to - from) /
                  ((from + zero_celsius_k) * (to + zero_celsius_k)));
}

int Ramp::tame_shares(double a, double b) const {
  return 1 + static_cast<int>(std::min(exponent_change(a, b), 1000.0));
}

double total(Rule rule, const CureLaw& law, const Stretch& stretch) {
  const Ramp ramp(rule, law, stretch);
  double sum = 0;
  ramp.pieces([&](double a, double b) {
    sum += ramp.integral(a, b);
    return true;
  });
  return sum;
}

Worse worse_for(const CureLaw& law, Direction direction) {
  if (direction == Direction::longest) return Worse::warmer;
  return damp_of(law) == Damp::water_needed ? Worse::colder_drier : Worse::colder;
}

std::string guess_of(Direction direction, const CureLaw& law, const Stretch& stretch) {
  const bool shortest = direction == Direction::shortest;
  const bool temp = law.activation_k > 0 || (shortest && law.lowest_c);
  const bool rh = shortest && humidity_counts(law);
  if (rh && stretch.temp_from_c && !stretch.rh_from_pct) {
    const std::string assumed = "humidity not recorded, 65 % assumed";
    return temp && !stretch.temp_why.empty() ? stretch.temp_why + "; " + assumed : assumed;
  }
  if (temp && rh) return stretch.why;
  return temp ? stretch.temp_why : rh ? stretch.rh_why : std::string();
}

}  // namespace trencher::engine
