#include "engine/cure.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace trencher::engine {
namespace {

constexpr Seconds farthest{3653 * std::int64_t{86400}};  // ten years
// Below what a double loses over ten years of sums, far below the whole second that is asked for.
constexpr double slack_s = 1e-6;

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

// How the factor for humidity runs: its break points are where an integral must be split.
enum class Damp { none, air_or_solvent, water_leaves, water_needed };

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

constexpr double damp_slows_pct = 65, damp_stops_pct = 85;  // oil and solvent
constexpr double water_stays_pct = 95;                      // water-borne kinds
constexpr double moisture_enough_pct = 50;                  // one-part polyurethane

// A label that names a reference at which water hardly leaves is read as the dampest that still
// counts.
double water_reference(const CureLaw& law) {
  return std::min(law.reference_rh_pct, water_stays_pct);
}

// Which rate an integral runs over.
enum class Rule { shortest, longest, bare };

double rate_under(Rule rule, const CureLaw& law, std::optional<double> temp_c,
                  std::optional<double> rh_pct) {
  switch (rule) {
    case Rule::shortest:
      if (temp_c) return rate(law, *temp_c, rh_pct);
      return rh_pct ? humidity_factor(law, rh_pct) : 1;
    case Rule::longest:
      return temp_c ? upper_rate(law, *temp_c) : 1;
    case Rule::bare:
      break;
  }
  return temp_c ? arrhenius(law.activation_k, *temp_c, law.reference_c) : 1;
}

// The rate over one stretch as a function of the seconds since its start.
class Ramp {
 public:
  Ramp(Rule rule, const CureLaw& law, const Stretch& stretch)
      : rule_(rule), law_(law), stretch_(stretch), length_(stretch.seconds()) {}

  double length() const { return length_; }

  std::optional<double> temp(double t) const {
    return value(stretch_.temp_from_c, stretch_.temp_to_c, t);
  }
  std::optional<double> rh(double t) const {
    return value(stretch_.rh_from_pct, stretch_.rh_to_pct, t);
  }
  double rate_at(double t) const { return rate_under(rule_, law_, temp(t), rh(t)); }
  bool steady() const {
    return stretch_.temp_from_c == stretch_.temp_to_c && stretch_.rh_from_pct == stretch_.rh_to_pct;
  }

  // Calls `piece(a, b)` over spans within which the rate is smooth and tame, in order, until it
  // returns false.
  template <class Piece>
  void pieces(Piece piece) const {
    std::array<double, 8> cuts;
    std::size_t count = 0;
    const auto cut = [&](const std::optional<double>& from, const std::optional<double>& to,
                         double kink) {
      if (!from || !to || (*from < kink) == (*to < kink) || *from == *to) return;
      const double at = std::clamp(length_ * (kink - *from) / (*to - *from), 0.0, length_);
      std::size_t place = count++;  // kept in order
      for (; place > 0 && cuts[place - 1] > at; --place) cuts[place] = cuts[place - 1];
      cuts[place] = at;
    };
    const auto cut_temp = [&](double kink) { cut(stretch_.temp_from_c, stretch_.temp_to_c, kink); };
    const auto cut_rh = [&](double kink) { cut(stretch_.rh_from_pct, stretch_.rh_to_pct, kink); };
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

  // Five Gauss-Legendre points: exact for a constant and a line, and for the exponential of a tame
  // piece to about 1e-11.
  double integral(double a, double b) const {
    if (steady()) return rate_at(a) * (b - a);
    constexpr double x1 = 0.538469310105683091, x2 = 0.906179845938663993;
    constexpr double w0 = 0.568888888888888889, w1 = 0.478628670499366468,
                     w2 = 0.236926885056189088;
    const double middle = (a + b) / 2, half = (b - a) / 2;
    const auto pair = [&](double x) {
      return rate_at(middle - half * x) + rate_at(middle + half * x);
    };
    return half * (w0 * rate_at(middle) + w1 * pair(x1) + w2 * pair(x2));
  }

  // The t of [a, b], a piece, at which integral(a, t) comes to `need`. Newton's steps, halving
  // where they leave the bracket.
  double crossing(double a, double b, double need) const {
    if (steady()) return std::min(b, a + need / rate_at(a));
    double low = a, high = b, t = (a + b) / 2;
    for (int i = 0; i < 200 && high - low > slack_s / 1000; ++i) {
      const double excess = integral(a, t) - need;
      (excess < 0 ? low : high) = t;
      const double slope = rate_at(t);
      const double step = slope > 0 ? t - excess / slope : low;
      if (std::abs(step - t) < slack_s / 1000) return std::clamp(step, a, b);
      t = step > low && step < high ? step : (low + high) / 2;
    }
    return t;
  }

  // Of the first `until` seconds, those below the lowest temperature.
  double below_lowest(double until) const {
    if (!law_.lowest_c || !stretch_.temp_from_c) return 0;
    const double lowest = *law_.lowest_c, from = *temp(0), to = *temp(until);
    if (from >= lowest && to >= lowest) return 0;
    if (from < lowest && to < lowest) return until;
    return until * (lowest - std::min(from, to)) / std::abs(to - from);
  }

 private:
  std::optional<double> value(const std::optional<double>& from, const std::optional<double>& to,
                              double t) const {
    if (!from || !to) return {};
    if (*from == *to) return from;
    return t == length_ ? *to : *from + (*to - *from) * (t / length_);
  }

  // So many that the exponent changes by no more than 1 over each.
  int tame_shares(double a, double b) const {
    const auto from = temp(a), to = temp(b);
    if (!from || *from == *to || law_.activation_k == 0) return 1;
    const double change = std::abs(std::log(arrhenius(law_.activation_k, *from, *to)));
    return 1 + static_cast<int>(std::min(change, 1000.0));
  }

  Rule rule_;
  const CureLaw& law_;
  const Stretch& stretch_;
  double length_;
};

double total(Rule rule, const CureLaw& law, const Stretch& stretch) {
  const Ramp ramp(rule, law, stretch);
  double sum = 0;
  ramp.pieces([&](double a, double b) {
    sum += ramp.integral(a, b);
    return true;
  });
  return sum;
}

double total(Rule rule, const CureLaw& law, const std::vector<Stretch>& stretches) {
  double sum = 0;
  for (const Stretch& stretch : stretches) sum += total(rule, law, stretch);
  return sum;
}

// Which neighbour of a gap makes the date the more cautious.
Worse worse_for(const CureLaw& law, Direction direction) {
  if (direction == Direction::longest) return Worse::warmer;
  return damp_of(law) == Damp::water_needed ? Worse::colder_drier : Worse::colder;
}

// Why the cure over this stretch is a guess; empty where what it depends on is read.
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

// Gathers stretches of one kind into one line of the arithmetic.
class Parts {
 public:
  void add(const Ramp& ramp, const Stretch& stretch, double length, double cure, std::string why,
           Instant end) {
    const auto first_temp = ramp.temp(0), first_rh = ramp.rh(0);
    const bool joins = !parts_.empty() && parts_.back().why == why &&
                       parts_.back().mean_temp_c.has_value() == first_temp.has_value() &&
                       parts_.back().mean_rh_pct.has_value() == first_rh.has_value();
    if (!joins) {
      parts_.push_back({stretch.from, stretch.from, first_temp, first_rh});
      parts_.back().guessed = !why.empty();
      parts_.back().why = std::move(why);
      elapsed_ = temp_sum_ = rh_sum_ = 0;
      start_temp_ = first_temp;
      start_rh_ = first_rh;
    }
    CurePart& part = parts_.back();
    part.steady =
        part.steady && ramp.steady() && start_temp_ == first_temp && start_rh_ == first_rh;
    part.to = end;
    part.cure_s += cure;
    part.below_lowest_s += ramp.below_lowest(length);
    elapsed_ += length;
    // The mean of a line is its middle.
    if (first_temp) temp_sum_ += length * *ramp.temp(length / 2);
    if (first_rh) rh_sum_ += length * *ramp.rh(length / 2);
    if (elapsed_ > 0) {
      part.factor = part.cure_s / elapsed_;
      if (part.steady) return;
      if (first_temp) part.mean_temp_c = temp_sum_ / elapsed_;
      if (first_rh) part.mean_rh_pct = rh_sum_ / elapsed_;
    }
  }
  std::vector<CurePart> take() { return std::move(parts_); }

 private:
  std::vector<CurePart> parts_;
  double elapsed_ = 0, temp_sum_ = 0, rh_sum_ = 0;  // of the last part
  std::optional<double> start_temp_, start_rh_;
};

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
  return std::exp(-activation_k *
                  (1 / (temp_c + zero_celsius_k) - 1 / (reference_c + zero_celsius_k)));
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
  if (law.lowest_c && temp_c < *law.lowest_c) return 0;
  const double warmth =
      temp_c >= law.reference_c ? 1 : arrhenius(law.activation_k, temp_c, law.reference_c);
  return warmth * humidity_factor(law, rh_pct);
}

double upper_rate(const CureLaw& law, double temp_c) {
  return temp_c <= law.reference_c ? 1 : arrhenius(law.activation_k, temp_c, law.reference_c);
}

double cure_over(const CureLaw& law, const std::vector<Stretch>& stretches, Direction direction) {
  return total(direction == Direction::shortest ? Rule::shortest : Rule::longest, law, stretches);
}

double equivalent_age_uncapped(double activation_k, double reference_c,
                               const std::vector<Stretch>& stretches) {
  CureLaw law;
  law.activation_k = activation_k;
  law.reference_c = reference_c;
  return total(Rule::bare, law, stretches);
}

Reached when_reached(const CureLaw& law, Instant start, Seconds wait, const Conditions& conditions,
                     Direction direction) {
  const bool shortest = direction == Direction::shortest;
  const Rule rule = shortest ? Rule::shortest : Rule::longest;
  Reached reached;
  if (wait <= Seconds(0)) {
    reached.at = start;
    return reached;
  }
  const Instant limit = start + farthest, settled = conditions.settled();
  double need = static_cast<double>(wait.count());
  Parts parts;
  // A look-ahead that grows, since the wait may end long before the readings do.
  Seconds ahead = std::max(wait, longest_gap);
  for (Instant from = start; from < limit && !reached.at; ahead *= 2) {
    const Instant to = from >= settled ? limit : std::min(limit, from + ahead);
    for (const Stretch& stretch : conditions.between(from, to, worse_for(law, direction))) {
      const Ramp ramp(rule, law, stretch);
      double cure = 0, length = ramp.length();
      bool done = false;
      ramp.pieces([&](double a, double b) {
        const double gain = ramp.integral(a, b);
        done = gain >= need - slack_s && gain > 0;
        if (done) {
          length = ramp.crossing(a, b, std::min(gain, need));
          cure += need;
          return false;
        }
        need -= gain;
        cure += gain;
        return true;
      });
      Instant end = stretch.to;
      if (done) {
        const double whole = shortest ? std::ceil(length - slack_s) : std::floor(length + slack_s);
        end = stretch.from + Seconds(static_cast<std::int64_t>(whole));
        reached.at = end = shortest ? std::max(end, start + wait) : std::min(end, start + wait);
      }
      std::string why = guess_of(direction, law, stretch);
      reached.guessed = reached.guessed || !why.empty();
      parts.add(ramp, stretch, length, cure, std::move(why), end);
      if (done) break;
    }
    from = to;
  }
  reached.parts = parts.take();
  return reached;
}

double cure_so_far(const CureLaw& law, Instant start, Instant now, const Conditions& conditions) {
  if (now <= start) return 0;
  return cure_over(law, conditions.between(start, now, worse_for(law, Direction::shortest)));
}

double cure_by_readings(const CureLaw& law, Instant start, Instant now,
                        const Conditions& conditions) {
  double sum = 0;
  if (now > start)
    for (const Stretch& stretch : conditions.between(start, now))
      if (guess_of(Direction::shortest, law, stretch).empty())
        sum += total(Rule::shortest, law, stretch);
  return sum;
}

}  // namespace trencher::engine
