// The rate of a cure over one stretch of conditions, and its integral. Within the engine only.
#pragma once

#include <algorithm>
#include <array>
#include <cmath>
#include <optional>
#include <string>

#include "engine/cure.h"

namespace trencher::engine {

// How the factor for humidity runs: its break points are where an integral must be split.
enum class Damp { none, air_or_solvent, water_leaves, water_needed };
Damp damp_of(const CureLaw& law);

inline constexpr double damp_slows_pct = 65, damp_stops_pct = 85;  // oil and solvent
inline constexpr double water_stays_pct = 95;                      // water-borne kinds
inline constexpr double moisture_enough_pct = 50;                  // one-part polyurethane

// A label that names a reference at which water hardly leaves is read as the dampest that still
// counts.
double water_reference(const CureLaw& law);

// arrhenius(), warmth() and upper_rate() for who has 1 / the reference temperature at hand.
inline double arrhenius_by(double activation_k, double temp_c, double reference_per_k) {
  return std::exp(-activation_k * (1 / (temp_c + zero_celsius_k) - reference_per_k));
}
inline double reference_per_k(double reference_c) { return 1 / (reference_c + zero_celsius_k); }
inline double warmth_by(const CureLaw& law, double temp_c, double per_k) {
  if (law.lowest_c && temp_c < *law.lowest_c) return 0;
  return temp_c >= law.reference_c ? 1 : arrhenius_by(law.activation_k, temp_c, per_k);
}
inline double upper_rate_by(const CureLaw& law, double temp_c, double per_k) {
  return temp_c <= law.reference_c ? 1 : arrhenius_by(law.activation_k, temp_c, per_k);
}

// Above what a double loses over ten years of sums, far below the whole second that is asked for.
inline constexpr double slack_s = 1e-6;

// Which rate an integral runs over.
enum class Rule { shortest, longest, bare };
inline Rule rule_for(Direction direction) {
  return direction == Direction::shortest ? Rule::shortest : Rule::longest;
}

// The rate over one stretch as a function of the seconds since its start.
class Ramp {
 public:
  Ramp(Rule rule, const CureLaw& law, const Stretch& stretch);

  double length() const { return length_; }

  std::optional<double> temp(double t) const {
    return temp_.known ? std::optional(value(temp_, t)) : std::nullopt;
  }
  std::optional<double> rh(double t) const {
    return rh_.known ? std::optional(value(rh_, t)) : std::nullopt;
  }
  double rate_at(double t) const;
  bool steady() const { return temp_.change == 0 && rh_.change == 0; }

  // Calls `piece(a, b)` over spans within which the rate is smooth and tame, in order, until it
  // returns false.
  template <class Piece>
  void pieces(Piece piece) const {
    std::array<double, 8> cuts;
    std::size_t count = 0;
    const auto cut = [&](const Line& line, double kink) {
      const bool crosses = line.known && (line.from < kink) != (line.to < kink);
      if (!crosses) return;
      const double at = std::clamp(length_ * (kink - line.from) / line.change, 0.0, length_);
      std::size_t place = count++;  // kept in order
      for (; place > 0 && cuts[place - 1] > at; --place) cuts[place] = cuts[place - 1];
      cuts[place] = at;
    };
    const auto cut_temp = [&](double kink) { cut(temp_, kink); };
    const auto cut_rh = [&](double kink) { cut(rh_, kink); };
    if (rule_ != Rule::bare) cut_temp(law_.reference_c);
    if (rule_ == Rule::shortest) {
      if (law_.lowest_c) cut_temp(*law_.lowest_c);
      switch (damp_of(law_)) {
        case Damp::none:
          break;
        case Damp::air_or_solvent:
          cut_rh(damp_slows_pct);
          cut_rh(damp_stops_pct);
          break;
        case Damp::water_leaves:
          cut_rh(water_reference(law_));
          cut_rh(water_stays_pct);
          break;
        case Damp::water_needed:
          cut_rh(moisture_enough_pct);
          break;
      }
    }
    cuts[count++] = length_;
    double a = 0;
    for (std::size_t i = 0; i < count; ++i) {
      const double b = cuts[i];
      const int shares = b > a ? tame_shares(a, b) : 0;
      const double start = a;
      for (int k = 1; k <= shares; ++k) {
        const double end = k == shares ? b : start + (b - start) * k / shares;
        if (!piece(a, end)) return;
        a = end;
      }
    }
  }

  // Gauss-Legendre points, five at most: exact for a constant and a line, and for the exponential
  // of a tame piece to about 1e-11.
  double integral(double a, double b) const;

  // The t of [a, b], a piece that gives `gain`, at which integral(a, t) comes to `need`. Newton's
  // steps, halving where they leave the bracket.
  double crossing(double a, double b, double gain, double need) const;

  // Of the first `until` seconds, those below the lowest temperature.
  double below_lowest(double until) const;

 private:
  // What runs from one value to another over the stretch.
  struct Line {
    bool known = false;
    double from = 0, to = 0, change = 0;
  };
  static Line line(const std::optional<double>& from, const std::optional<double>& to) {
    if (!from || !to) return {};
    return {true, *from, *to, *to - *from};
  }
  double value(const Line& line, double t) const {
    if (line.change == 0) return line.from;
    return t == length_ ? line.to : line.from + line.change * (t / length_);
  }

  // By how much the exponent of the rate changes over these seconds; 0: temperature has no bearing.
  double exponent_change(double a, double b) const;
  // So many that the exponent changes by no more than 1 over each.
  int tame_shares(double a, double b) const;

  Rule rule_;
  const CureLaw& law_;
  double length_;
  Line temp_, rh_;
  double per_k_;                         // 1 / the reference temperature
  std::optional<double> steady_factor_;  // the humidity's, where it is the same throughout
};

// Over the whole stretch, in seconds.
double total(Rule rule, const CureLaw& law, const Stretch& stretch);

// Which neighbour of a gap makes the date the more cautious.
Worse worse_for(const CureLaw& law, Direction direction);

// Why the cure over this stretch is a guess; empty where what it depends on is read.
std::string guess_of(Direction direction, const CureLaw& law, const Stretch& stretch);

}  // namespace trencher::engine
