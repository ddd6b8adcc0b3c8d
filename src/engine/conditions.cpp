#include "engine/conditions.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/error.h"

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

}  // namespace

struct Conditions::Span {
  std::optional<double> from, to;
  std::optional<Guess> guess;
  bool operator==(const Span&) const = default;
};

Conditions::Conditions(std::vector<Stay> stays, LocalTime local, Units units)
    : local_(std::move(local)), units_(units) {
  if (stays.empty()) throw Error::request("A batch is in one place at a time: no place is given.");
  const auto add = [](Track& track, Instant at, double value, bool higher_is_worse) {
    auto& points = track.points;
    if (points.empty() || points.back().first != at) {
      points.emplace_back(at, value);
      return;
    }
    double& last = points.back().second;
    last = higher_is_worse ? std::max(last, value) : std::min(last, value);
  };
  for (Stay& stay : stays) {
    Home home{stay.from, stay.place.name, {}, {}};
    if (stay.place.temp) home.temp.declared = stay.place.temp->degrees();
    if (stay.place.rh) home.rh.declared = stay.place.rh->value();
    std::stable_sort(stay.readings.begin(), stay.readings.end(),
                     [](const Reading& a, const Reading& b) { return a.at < b.at; });
    for (const Reading& reading : stay.readings) {
      add(home.temp, reading.at, reading.temp.degrees(), false);
      if (reading.rh) add(home.rh, reading.at, reading.rh->value(), true);
    }
    homes_.push_back(std::move(home));
  }
}

// REQUIRES: no point of the track lies between `from` and `to`.
Conditions::Span Conditions::span_at(const Track& track, Instant from, Instant to,
                                     bool higher_is_worse) {
  const auto& points = track.points;
  const auto next =
      std::upper_bound(points.begin(), points.end(), from,
                       [](Instant at, const auto& point) { return at < point.first; });
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

void Conditions::append(std::vector<Stretch>& out, const Home& home, Instant from, Instant to,
                        Worse worse) const {
  const auto& points = home.temp.points;  // humidity has no point that temperature has not
  auto next = std::upper_bound(points.begin(), points.end(), from,
                               [](Instant at, const auto& point) { return at < point.first; });
  std::optional<Guess> temp_before, rh_before;  // of the stretch before, whose words serve again
  bool first = true;
  while (from < to) {
    Stretch stretch;
    stretch.from = from;
    stretch.to = next == points.end() ? to : std::min(to, next->first);
    const Span temp = span_at(home.temp, stretch.from, stretch.to, worse == Worse::warmer);
    const Span rh = span_at(home.rh, stretch.from, stretch.to, worse != Worse::colder_drier);
    stretch.temp_from_c = temp.from;
    stretch.temp_to_c = temp.to;
    stretch.rh_from_pct = rh.from;
    stretch.rh_to_pct = rh.to;
    stretch.guessed = temp.guess || rh.guess || !temp.from;
    if (stretch.guessed && !first && temp.guess == temp_before && rh.guess == rh_before) {
      const Stretch& before = out.back();
      stretch.why = before.why;
      stretch.temp_why = before.temp_why;
      stretch.rh_why = before.rh_why;
    } else if (stretch.guessed) {
      stretch.why = reason(home.name, &temp, &rh);
      stretch.temp_why = reason(home.name, &temp, nullptr);
      stretch.rh_why = reason(home.name, nullptr, &rh);
    }
    temp_before = temp.guess;
    rh_before = rh.guess;
    first = false;
    from = stretch.to;
    if (next != points.end() && next->first <= from) ++next;
    out.push_back(std::move(stretch));
  }
}

std::vector<Stretch> Conditions::between(Instant from, Instant to, Worse worse) const {
  std::vector<Stretch> out;
  for (std::size_t i = 0; i < homes_.size(); ++i) {
    const Instant begin = i == 0 ? from : std::max(from, homes_[i].from);
    const Instant end = i + 1 < homes_.size() ? std::min(to, homes_[i + 1].from) : to;
    if (begin < end) append(out, homes_[i], begin, end, worse);
  }
  return out;
}

Instant Conditions::settled() const {
  const Home& last = homes_.back();
  const auto& points = last.temp.points;
  return points.empty() ? last.from : std::max(last.from, points.back().first);
}

}  // namespace trencher::engine
