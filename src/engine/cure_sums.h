// Cure over the spans between the readings of one place, summed once for all that cured there, so
// that a wait of many readings costs two look-ups. Within the engine only.
#pragma once

#include <array>
#include <cstdint>
#include <deque>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "engine/cure.h"

namespace trencher::engine {

// A sum that keeps what doubles round off, since the difference of two far out is to be as good as
// one of the first.
class LongSum {
 public:
  void add(double value);
  double value() const { return sum_ + rounded_off_; }

 private:
  double sum_ = 0, rounded_off_ = 0;
};

// By one law. Span i runs from reading i to the next; sums are over the spans before a reading,
// from some earlier one on, so that only their differences mean something.
class CureSums {
 public:
  CureSums(const CureLaw& law, Direction direction) : law_(law), direction_(direction) {}

  // What spans first to last - 1 give together, all of one kind: `why` they are guesses, and
  // whether temperature and humidity are known.
  struct Run {
    std::size_t first = 0, last = 0;
    double cure_s = 0, below_lowest_s = 0;
    std::optional<double> temp_c, rh_pct;  // where it begins
    double temp_sum = 0, rh_sum = 0;       // degrees and per cent by seconds
    bool steady = true;
    const std::string* why = nullptr;
  };
  // The first of them. REQUIRES: first < last, both of `log`.
  Run run(const Conditions& conditions, const PlaceLog& log, std::size_t first, std::size_t last);
  // The first reading behind `first`, none behind `last`, by which at least so much was gained.
  std::optional<std::size_t> reached(const Conditions& conditions, const PlaceLog& log,
                                     std::size_t first, std::size_t last, double cure_s);
  // A span that is summed.
  struct Single {
    Stretch stretch;               // without words
    const std::string* why;        // of its guess
    std::optional<double> cure_s;  // where its rate is smooth and tame throughout
  };
  Single single(const PlaceLog& log, std::size_t span) const;
  bool is_of(const CureLaw& law, Direction direction) const {
    return direction_ == direction && law_ == law;
  }

 private:
  // A quantity of a span, or NaN where it is not known: logs are long, and half of what an optional
  // takes is padding.
  static double packed(const std::optional<double>& value);
  static std::optional<double> unpacked(double value);
  struct At {
    double cure = 0, below_lowest = 0, temp = 0, rh = 0;
    // Of the span that begins here.
    double temp_from = 0, rh_from = 0, temp_to = 0, rh_to = 0;  // packed
    std::uint32_t kind = 0;                                     // place in whys_
    // Spans so far in which, or against the one before, something changed.
    std::uint32_t changing : 30 = 0;
    bool steady : 1 = true, is_tame : 1 = true;
  };

  void cover(const Conditions& conditions, const PlaceLog& log, std::size_t first,
             std::size_t last);
  void add(const Stretch& stretch);
  // The first reading by which the sum is at least `cure`.
  // REQUIRES: it is less at `low`, and as much at `high`.
  std::size_t first_with(double cure, std::size_t low, std::size_t high) const;
  const At& at(std::size_t reading) const { return sums_[reading - begin_]; }
  std::vector<At>::const_iterator place(std::size_t reading) const {
    return sums_.begin() + static_cast<std::ptrdiff_t>(reading - begin_);
  }
  std::size_t reading(std::vector<At>::const_iterator place) const {
    return begin_ + static_cast<std::size_t>(place - sums_.begin());
  }
  std::size_t end() const { return begin_ + sums_.size() - 1; }  // the last reading summed up to

  CureLaw law_;
  Direction direction_;
  std::size_t begin_ = 0;
  std::vector<At> sums_;  // of the readings from begin_ on
  LongSum cure_;
  std::deque<std::string> whys_;  // whose places stay
};

// What a place's log keeps.
class CureMemory {
 public:
  CureSums& sums(const CureLaw& law, Direction direction);

  // The words of a guess, by what it rests on: why, temp_why and rh_why of a stretch.
  using Ground = std::array<std::int64_t, 15>;
  std::map<Ground, std::array<std::string, 3>> words;

 private:
  std::deque<CureSums> sums_;
};

}  // namespace trencher::engine
