#include "engine/conditions.h"

#include <fmt/format.h>

#include <algorithm>
#include <bit>
#include <cmath>

#include "domain/error.h"
#include "engine/cure_sums.h"

namespace trencher::engine {
namespace {

// Where readings lack, and whose value stands in.
enum class Gap { no_reading, before, after, between };
enum class Basis { declared, reading, worse };

struct Guess {
  Gap gap;
  Instant first, last;  // of the readings beside the gap
  Basis basis;
  double value = 0;
  bool higher = false;  // of two readings the higher counts
  bool operator==(const Guess&) const = default;
};

bool same_gap(const Guess& a, const Guess& b) {
  return a.gap == b.gap && a.first == b.first && a.last == b.last;
}

// Whose value counts: "the declared", "the last reading's".
std::string owner(const Guess& guess, std::string_view higher, std::string_view lower) {
  if (guess.basis == Basis::declared) return "the declared";
  if (guess.basis == Basis::worse)
    return fmt::format("the {} reading's", guess.higher ? higher : lower);
  return guess.gap == Gap::before ? "the first reading's" : "the last reading's";
}

// One of the two quantities between two moments.
struct Course {
  std::optional<double> from, to;
  std::optional<Guess> guess;
  bool operator==(const Course&) const = default;
};

using Point = std::vector<std::pair<Instant, double>>::const_iterator;

Point next_point(const PlaceLog::Track& track, Instant from) {
  return std::upper_bound(track.points.begin(), track.points.end(), from,
                          [](Instant at, const auto& point) { return at < point.first; });
}

// `next`: the first point behind `from`.
// REQUIRES: no point of the track lies between `from` and `to`.
Course course_at(const PlaceLog::Track& track, Point next, Instant from, Instant to,
                 bool higher_is_worse) {
  const auto& points = track.points;
  const bool has_before = next != points.begin(), has_after = next != points.end();
  if (has_before && has_after && next->first - std::prev(next)->first <= longest_gap) {
    const auto [t0, v0] = *std::prev(next);
    const auto [t1, v1] = *next;
    const double length = static_cast<double>((t1 - t0).count());
    const auto at = [&, start = t0, low = v0, high = v1](Instant t) {
      return low + (high - low) * (static_cast<double>((t - start).count()) / length);
    };
    return {at(from), to == t1 ? v1 : at(to), {}};
  }
  Guess guess{Gap::no_reading, {}, {}, Basis::declared};
  if (has_before) guess = {Gap::after, std::prev(next)->first, {}, Basis::reading};
  if (has_after) guess = {Gap::before, {}, next->first, Basis::reading};
  if (has_before && has_after)
    guess = {Gap::between, std::prev(next)->first, next->first, Basis::worse, 0, higher_is_worse};
  if (track.declared) {
    guess.basis = Basis::declared;
    guess.value = *track.declared;
  } else if (guess.gap == Gap::no_reading) {
    return {};
  } else if (guess.gap == Gap::between) {
    const double before = std::prev(next)->second, after = next->second;
    guess.value = higher_is_worse ? std::max(before, after) : std::min(before, after);
  } else {
    guess.value = has_before ? std::prev(next)->second : next->second;
  }
  return {guess.value, guess.value, guess};
}

// All that the words of these guesses rest on.
CureMemory::Ground ground_of(const Course& temp, const Course& rh) {
  CureMemory::Ground out{};
  auto next = out.begin();
  *next++ = temp.from.has_value();
  for (const Course* course : {&temp, &rh}) {
    const auto& guess = course->guess;
    *next++ = guess.has_value();
    if (!guess) {
      next += 6;
      continue;
    }
    *next++ = static_cast<std::int64_t>(guess->gap);
    *next++ = guess->first.time_since_epoch().count();
    *next++ = guess->last.time_since_epoch().count();
    *next++ = static_cast<std::int64_t>(guess->basis);
    *next++ = std::bit_cast<std::int64_t>(guess->value);
    *next++ = guess->higher;
  }
  return out;
}

void put_values(Stretch& out, Instant from, Instant to, const Course& temp, const Course& rh) {
  out.from = from;
  out.to = to;
  out.temp_from_c = temp.from;
  out.temp_to_c = temp.to;
  out.rh_from_pct = rh.from;
  out.rh_to_pct = rh.to;
  out.guessed = temp.guess || rh.guess || !temp.from;
}

bool higher_temp_is_worse(Worse worse) { return worse == Worse::warmer; }
bool higher_rh_is_worse(Worse worse) { return worse != Worse::colder_drier; }

std::vector<SharedStay> shared(std::vector<Stay> stays) {
  std::vector<SharedStay> out;
  for (Stay& stay : stays)
    out.push_back(
        {stay.from, std::make_shared<const PlaceLog>(stay.place, std::move(stay.readings))});
  return out;
}

}  // namespace

struct Conditions::Span : Course {};

PlaceLog::PlaceLog(const Place& place, std::vector<Reading> readings)
    : name_(place.name), memory_(std::make_shared<CureMemory>()) {
  const auto add = [](Track& track, Instant at, double value, bool higher_is_worse) {
    auto& points = track.points;
    if (points.empty() || points.back().first != at) {
      points.emplace_back(at, value);
      return;
    }
    double& last = points.back().second;
    last = higher_is_worse ? std::max(last, value) : std::min(last, value);
  };
  if (place.temp) temp_.declared = place.temp->degrees();
  if (place.rh) rh_.declared = place.rh->value();
  const auto earlier = [](const Reading& a, const Reading& b) { return a.at < b.at; };
  if (!std::is_sorted(readings.begin(), readings.end(), earlier))
    std::stable_sort(readings.begin(), readings.end(), earlier);
  temp_.points.reserve(readings.size());
  rh_.points.reserve(readings.size());
  for (const Reading& reading : readings) {
    add(temp_, reading.at, reading.temp.degrees(), false);
    if (reading.rh) add(rh_, reading.at, reading.rh->value(), true);
  }
}

PlaceLog PlaceLog::declared_as(std::string name, std::optional<Celsius> temp,
                               std::optional<Percent> rh) const {
  PlaceLog out = *this;
  out.name_ = std::move(name);
  if (temp) out.temp_.declared = temp->degrees();
  if (rh) out.rh_.declared = rh->value();
  out.memory_ = std::make_shared<CureMemory>();
  return out;
}

Conditions::Conditions(std::vector<SharedStay> stays, LocalTime local, Units units)
    : stays_(std::move(stays)), local_(std::move(local)), units_(units) {
  if (stays_.empty()) throw Error::request("A batch is in one place at a time: no place is given.");
}

Conditions::Conditions(std::vector<Stay> stays, LocalTime local, Units units)
    : Conditions(shared(std::move(stays)), std::move(local), units) {}

// Either may be null: not guessed, or of no account. Empty where neither is guessed.
std::string Conditions::reason(const std::string& place, const Span* temp, const Span* rh) const {
  const Guess* t = temp && temp->guess ? &*temp->guess : nullptr;
  const Guess* h = rh && rh->guess ? &*rh->guess : nullptr;
  std::string unknown;
  if (temp && !temp->from)
    unknown = fmt::format(
        "no reading in {} and nothing declared, counted as if it were as warm as "
        "the label asks",
        place);
  if (!t && !h) return unknown;
  const auto when = [&](Instant at) { return show(local_(at)); };
  const auto gap = [&](const Guess& guess) -> std::string {
    switch (guess.gap) {
      case Gap::before:
        return " before " + when(guess.last);
      case Gap::after:
        return " after " + when(guess.first);
      case Gap::between:
        return " between " + when(guess.first) + " and " + when(guess.last);
      case Gap::no_reading:
        break;
    }
    return {};
  };
  const std::string degrees =
      t ? show(Celsius{std::llround(t->value * 1000)}, units_) : std::string();
  const std::string humidity = h ? show(Percent{std::llround(h->value * 10)}) : std::string();
  const std::string temp_owner = t ? owner(*t, "warmer", "colder") : std::string();
  const std::string rh_owner = h ? owner(*h, "damper", "drier") : std::string();
  if (t && h && same_gap(*t, *h)) {
    const std::string second = temp_owner == rh_owner ? humidity : rh_owner + " " + humidity;
    return fmt::format("no reading in {}{}, {} {} and {} count", place, gap(*t), temp_owner,
                       degrees, second);
  }
  std::string out = unknown;
  if (t) out = fmt::format("no reading in {}{}, {} {} counts", place, gap(*t), temp_owner, degrees);
  if (h)
    out += fmt::format("{}no humidity reading in {}{}, {} {} counts", out.empty() ? "" : "; ",
                       place, gap(*h), rh_owner, humidity);
  return out;
}

Stretch Conditions::stretch(const PlaceLog& log, Instant from, Instant to, Worse worse) const {
  const Span temp = temp_span(log, from, to, worse), rh = rh_span(log, from, to, worse);
  Stretch out;
  put_values(out, from, to, temp, rh);
  put_words(out, log, temp, rh);
  return out;
}

Conditions::Span Conditions::span_at(const PlaceLog::Track& track, Instant from, Instant to,
                                     bool higher_is_worse) {
  return {course_at(track, next_point(track, from), from, to, higher_is_worse)};
}
Conditions::Span Conditions::temp_span(const PlaceLog& log, Instant from, Instant to, Worse worse) {
  return span_at(log.temp(), from, to, higher_temp_is_worse(worse));
}
Conditions::Span Conditions::rh_span(const PlaceLog& log, Instant from, Instant to, Worse worse) {
  return span_at(log.rh(), from, to, higher_rh_is_worse(worse));
}

void Conditions::put_words(Stretch& out, const PlaceLog& log, const Span& temp,
                           const Span& rh) const {
  if (!out.guessed) {
    out.why.clear();
    out.temp_why.clear();
    out.rh_why.clear();
    return;
  }
  const auto [known, is_new] = log.memory().words.try_emplace(ground_of(temp, rh));
  auto& [why, temp_why, rh_why] = known->second;
  if (is_new) {
    why = reason(log.name(), &temp, &rh);
    temp_why = reason(log.name(), &temp, nullptr);
    rh_why = reason(log.name(), nullptr, &rh);
  }
  out.why = why;
  out.temp_why = temp_why;
  out.rh_why = rh_why;
}

void Conditions::follow(const PlaceLog& log, Instant from, Instant to, Worse worse,
                        const std::function<void(const Stretch&)>& use) const {
  const auto& points = log.temp().points;
  auto next = next_point(log.temp(), from), next_rh = next_point(log.rh(), from);
  Stretch stretch;
  std::optional<Guess> temp_guess, rh_guess;  // of the stretch before: its words serve again
  while (from < to) {
    const Instant end = next == points.end() ? to : std::min(to, next->first);
    const Span temp{course_at(log.temp(), next, from, end, higher_temp_is_worse(worse))};
    const Span rh{course_at(log.rh(), next_rh, from, end, higher_rh_is_worse(worse))};
    const bool was_guessed = stretch.guessed;
    put_values(stretch, from, end, temp, rh);
    if (stretch.guessed != was_guessed || temp.guess != temp_guess || rh.guess != rh_guess)
      put_words(stretch, log, temp, rh);
    temp_guess = temp.guess;
    rh_guess = rh.guess;
    use(stretch);
    from = end;
    if (next != points.end() && next->first <= from) ++next;
    if (next_rh != log.rh().points.end() && next_rh->first <= from) ++next_rh;
  }
}

void Conditions::each_stretch(const PlaceLog& log, std::size_t first_reading,
                              std::size_t last_reading, Worse worse,
                              const std::function<void(const Stretch&)>& use) const {
  const auto& points = log.temp().points;
  follow(log, points[first_reading].first, points[last_reading].first, worse, use);
}

std::vector<Stretch> Conditions::between(Instant from, Instant to, Worse worse) const {
  std::vector<Stretch> out;
  each_stay(from, to, [&](const PlaceLog& log, Instant begin, Instant end) {
    follow(log, begin, end, worse, [&](const Stretch& stretch) { out.push_back(stretch); });
    return true;
  });
  return out;
}

Instant Conditions::settled() const {
  const SharedStay& last = stays_.back();
  const auto& points = last.log->temp().points;
  return points.empty() ? last.from : std::max(last.from, points.back().first);
}

}  // namespace trencher::engine
