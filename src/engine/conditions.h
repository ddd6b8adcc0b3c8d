// Temperature and humidity around a batch over time, out of the readings of the places where it
// was.
//
// Between two readings no further apart than `longest_gap` both run linearly. Across a longer gap,
// before the first reading and after the last, the place's declared conditions count, else the
// worse neighbour (of two readings the colder and the damper; of one, itself). Without reading and
// declaration nothing is known and the caller counts at the label's reference. All but the first is
// a guess. Temperature and humidity are followed apart: a reading without humidity is none of
// humidity.
#pragma once

#include <algorithm>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <utility>
#include <vector>

#include "domain/records.h"

namespace trencher::engine {

inline constexpr Seconds longest_gap{
    86400};  // a day: ours, after cure_physics (no cure over a longer gap)

struct Stay {
  Instant from;                   // the batch is here from this moment on, until the next stay
  Place place;                    // with what is declared
  std::vector<Reading> readings;  // of this place, by time; may lie outside the stay
};

class CureMemory;

// The same of one place, ready to be looked up, for all batches that are or were there: with what
// was reckoned from it once (cure_sums.h). Shared by Conditions of one zone and one kind of units.
class PlaceLog {
 public:
  // One of the two quantities. Of readings of one moment the coldest and the dampest count.
  struct Track {
    std::vector<std::pair<Instant, double>> points;  // by time, each moment once
    std::optional<double> declared;
  };

  PlaceLog(const Place& place, std::vector<Reading> readings);
  // The same readings under another name, with what is given declared in place of what was.
  PlaceLog declared_as(std::string name, std::optional<Celsius> temp,
                       std::optional<Percent> rh) const;

  const std::string& name() const { return name_; }
  const Track& temp() const { return temp_; }
  const Track& rh() const { return rh_; }  // has no point that temp() has not
  CureMemory& memory() const { return *memory_; }

 private:
  std::string name_;
  Track temp_, rh_;
  std::shared_ptr<CureMemory> memory_;
};

struct SharedStay {
  Instant from;
  std::shared_ptr<const PlaceLog> log;
};

// Conditions between two moments, linear from first to last.
struct Stretch {
  Instant from, to;
  std::optional<double> temp_from_c, temp_to_c;  // absent: nothing known, count at the reference
  std::optional<double> rh_from_pct, rh_to_pct;  // absent: humidity not recorded
  bool guessed = false;                          // the temperature or a humidity
  // "no reading in Garage after Sat 5 Dec 2026 18:00, the declared 12 °C and 60 % count"; then the
  // same of either alone, for a cure on which the other has no bearing. Empty: from readings.
  std::string why, temp_why, rh_why;

  double seconds() const { return static_cast<double>((to - from).count()); }
};

// Which neighbour counts across a gap: for a shortest wait the colder and the damper (the drier,
// where a glue lives on damp), for a longest the warmer.
enum class Worse { colder, colder_drier, warmer };

class Conditions {
 public:
  // `stays` by time, at least one: the first counts for the time before it too. `local`
  // and `units` are for showing times and temperatures in reasons.
  Conditions(std::vector<SharedStay> stays, LocalTime local, Units units);
  Conditions(std::vector<Stay> stays, LocalTime local = at_offset(0), Units units = Units::metric);
  // Covers [from, to) without holes, in order; no stretch spans a reading or a move.
  // REQUIRES: from <= to.
  std::vector<Stretch> between(Instant from, Instant to, Worse worse = Worse::colder) const;
  // The time [from, to) by stays: calls `use(log, begin, end)` in order until it returns false.
  template <class Use>
  void each_stay(Instant from, Instant to, Use use) const {
    for (std::size_t i = 0; i < stays_.size(); ++i) {
      const Instant begin = i == 0 ? from : std::max(from, stays_[i].from);
      const Instant end = i + 1 < stays_.size() ? std::min(to, stays_[i + 1].from) : to;
      if (begin < end && !use(*stays_[i].log, begin, end)) return;
    }
  }
  // Of one place: between two moments with no reading between them; and, in order, those between
  // two readings.
  Stretch stretch(const PlaceLog& log, Instant from, Instant to, Worse worse) const;
  void each_stretch(const PlaceLog& log, std::size_t first_reading, std::size_t last_reading,
                    Worse worse, const std::function<void(const Stretch&)>& use) const;
  // The last moment after which no reading changes anything; from there on conditions are constant.
  Instant settled() const;
  Units units() const { return units_; }
  Moment local(Instant at) const { return local_(at); }

 private:
  struct Span;

  static Span span_at(const PlaceLog::Track& track, Instant from, Instant to, bool higher_is_worse);
  static Span temp_span(const PlaceLog& log, Instant from, Instant to, Worse worse);
  static Span rh_span(const PlaceLog& log, Instant from, Instant to, Worse worse);
  void put_words(Stretch& out, const PlaceLog& log, const Span& temp, const Span& rh) const;
  std::string reason(const std::string& place, const Span* temp, const Span* rh) const;
  void follow(const PlaceLog& log, Instant from, Instant to, Worse worse,
              const std::function<void(const Stretch&)>& use) const;

  std::vector<SharedStay> stays_;
  LocalTime local_;
  Units units_;
};

}  // namespace trencher::engine
