// Readings and places for the tests of the engine.
#pragma once

#include <chrono>
#include <cmath>
#include <optional>
#include <random>
#include <string>
#include <vector>

#include "engine/cure.h"

namespace trencher::engine::weather {

using namespace std::chrono_literals;

// Sat 5 Dec 2026 18:00 UTC.
inline const Instant t0 = std::chrono::sys_days(2026y / 12 / 5) + 18h;

inline Reading reading(Instant at, double temp_c, std::optional<double> rh_pct = {}) {
  Reading out{0, at, Celsius{std::llround(temp_c * 1000)}, {}};
  if (rh_pct) out.rh = Percent{std::llround(*rh_pct * 10)};
  return out;
}

inline Place place(std::string name, std::optional<double> temp_c = {},
                   std::optional<double> rh_pct = {}) {
  Place out{name, name, {}, {}};
  if (temp_c) out.temp = Celsius{std::llround(*temp_c * 1000)};
  if (rh_pct) out.rh = Percent{std::llround(*rh_pct * 10)};
  return out;
}

inline Conditions in_garage(std::vector<Reading> readings, std::optional<double> temp_c = {},
                            std::optional<double> rh_pct = {}) {
  return Conditions({{t0, place("Garage", temp_c, rh_pct), std::move(readings)}});
}

// Readings each hour for so long, the same or as `temp` and `rh` give them by hours since t0.
template <class Temp, class Rh>
std::vector<Reading> hourly(int hours, Temp temp, Rh rh) {
  std::vector<Reading> out;
  for (int i = 0; i <= hours; ++i)
    out.push_back(reading(t0 + std::chrono::hours(i), temp(i), std::optional<double>(rh(i))));
  return out;
}
inline std::vector<Reading> steady(int hours, double temp_c, double rh_pct) {
  return hourly(
      hours, [=](int) { return temp_c; }, [=](int) { return rh_pct; });
}

// A shop's air at random: -5 to 35 °C, 15 to 100 %, readings minutes to a day apart, some without
// humidity, some gaps longer, now and then nothing declared.
inline Stay random_stay(std::mt19937& dice) {
  const auto roll = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(dice);
  };
  Stay out{t0, place("Garage"), {}};
  if (roll(0, 1) < 0.6) out.place = place("Garage", roll(0, 30), roll(20, 84));
  Instant at = t0 - std::chrono::seconds(std::llround(roll(0, 90000)));
  const int count = static_cast<int>(roll(0, 40));
  for (int i = 0; i < count; ++i) {
    const auto rh = roll(0, 1) < 0.85 ? std::optional(roll(15, 100)) : std::nullopt;
    out.readings.push_back(reading(at, roll(-5, 35), rh));
    at += std::chrono::seconds(
        std::llround(roll(0, 1) < 0.1 ? roll(86400, 300000) : roll(60, 80000)));
  }
  return out;
}

}  // namespace trencher::engine::weather
