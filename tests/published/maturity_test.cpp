// The integral behind every date against published maturity numbers. The maturity method was made
// for concrete (ASTM C1074); its numbers check the arithmetic, not that finishes behave so. Where a
// formula has other constants, they are put into the program's own functions, uncapped.
#include <array>
#include <catch2/catch.hpp>
#include <cmath>
#include <vector>

#include "engine/cure.h"

using namespace trencher;
using namespace trencher::engine;

namespace {

Stretch ramp(double hours, double from_c, double to_c) {
  Stretch out;
  out.to = out.from + Seconds(std::llround(hours * 3600));
  out.temp_from_c = from_c;
  out.temp_to_c = to_c;
  return out;
}

double age_h(double activation_k, double reference_c, const std::vector<Stretch>& stretches) {
  return equivalent_age_uncapped(activation_k, reference_c, stretches) / 3600;
}

// What an hour at a steady temperature is worth.
double hour_at(double activation_k, double temp_c, double reference_c) {
  return age_h(activation_k, reference_c, {ramp(1, temp_c, temp_c)});
}

// Freiesleben Hansen and Pedersen 1977 (from memory): kJ/mol by temperature.
double danish(double temp_c) {
  const double kj = temp_c >= 20 ? 33.5 : 33.5 + 1.47 * (20 - temp_c);
  return hour_at(kj * 1000 / gas_constant, temp_c, 20);
}

// EN 1992-1-1 eq. B.10 (from memory): exp(-(4000 / (273 + T) - 13.65)), an Arrhenius ratio whose
// reference is 4000 / 13.65 K and whose kelvins are whole.
double eurocode(double temp_c) {
  const double reference_c = 4000 / 13.65 - zero_celsius_k;
  return hour_at(4000, temp_c + 273 - zero_celsius_k, reference_c);
}

// Two-part: capped, but with no humidity in it.
CureLaw capped(double activation_k, double reference_c) {
  CureLaw law;
  law.mechanism = Mechanism::two_part;
  law.activation_k = activation_k;
  law.reference_c = reference_c;
  return law;
}

// The readings of a place as the engine sees them, for sums of temperature.
Conditions readings(const std::vector<std::pair<double, double>>& by_hour) {
  Stay stay;
  for (const auto& [hour, temp_c] : by_hour)
    stay.readings.push_back(
        {0, Instant(Seconds(std::llround(hour * 3600))), Celsius{std::llround(temp_c * 1000)}, {}});
  return Conditions({stay});
}

// Nurse-Saul, degree hours above the datum, from the mean that a date's arithmetic shows.
double nurse_saul(double datum_c, double hours, const Conditions& conditions) {
  double sum = 0;
  const Seconds wait(std::llround(hours * 3600));
  for (const CurePart& part : when_reached(CureLaw{}, Instant{}, wait, conditions).parts)
    sum +=
        (*part.mean_temp_c - datum_c) * static_cast<double>((part.to - part.from).count()) / 3600;
  return sum;
}

}  // namespace

TEST_CASE("age conversion factors match the recomputed table to four digits") {
  struct Row {
    double temp_c, danish, q5000_20, q5000_23, eurocode;
  };
  // The formulas are C1074 with Q = 5000 K (from memory), the Danish function (TI-B 103, form read)
  // and Eurocode 2; the digits were computed from them apart from this program.
  constexpr std::array<Row, 11> table{{{0, 0.1511, 0.2868, 0.2413, 0.3671},
                                       {5, 0.2925, 0.3986, 0.3354, 0.4778},
                                       {10, 0.4974, 0.5475, 0.4606, 0.6161},
                                       {15, 0.7476, 0.7438, 0.6258, 0.7875},
                                       {20, 1.0000, 1.0000, 0.8413, 0.9981},
                                       {23, 1.1494, 1.1886, 1.0000, 1.1462},
                                       {25, 1.2592, 1.3311, 1.1199, 1.2551},
                                       {30, 1.5737, 1.7553, 1.4768, 1.5662},
                                       {35, 1.9524, 2.2939, 1.9299, 1.9406},
                                       {40, 2.4057, 2.9723, 2.5006, 2.3880},
                                       {50, 3.5824, 4.8716, 4.0986, 3.5470}}};
  for (const Row& row : table) {
    INFO(row.temp_c << " °C");
    CHECK(std::abs(danish(row.temp_c) - row.danish) < 5.1e-5);
    CHECK(std::abs(hour_at(5000, row.temp_c, 20) - row.q5000_20) < 5.1e-5);
    CHECK(std::abs(hour_at(5000, row.temp_c, 23) - row.q5000_23) < 5.1e-5);
    CHECK(std::abs(eurocode(row.temp_c) - row.eurocode) < 5.1e-5);
  }
}

TEST_CASE("a cement maker's handbook has half the rate and double the time at 10 degrees") {
  // A Danish cement maker's concrete handbook, p. 79 (read): rate 0.5, duration 2.0 against 20 °C.
  CHECK(std::round(danish(10) * 10) / 10 == 0.5);
  CHECK(std::round(10 / danish(10)) / 10 == 2.0);
}

TEST_CASE("a rate that doubles from 298 to 308 K has 52.9 kJ per mol") {
  // A chemistry textbook's question (read): 52.9 kJ/mol. A page that prints 48 is wrong.
  const double low = 298 - zero_celsius_k, high = 308 - zero_celsius_k;
  CHECK(arrhenius(52900 / gas_constant, high, low) == Approx(2).margin(5e-4));
  CHECK(arrhenius(48000 / gas_constant, high, low) < 1.9);
}

TEST_CASE("28 days at 15 degrees over a datum of minus 11 are 728 degree days") {
  // A civil-engineering question bank (read); its trap, a datum of +11, would give 112.
  std::vector<std::pair<double, double>> daily;
  for (int day = 0; day <= 28; ++day) daily.emplace_back(day * 24, 15);
  CHECK(nurse_saul(-11, 28 * 24, readings(daily)) / 24 == Approx(728).epsilon(1e-12));
}

TEST_CASE("degree hours over any ramp follow its mean temperature") {
  // Nurse-Saul is linear, so 5 to 25 °C in 20 h and back in 10 h count as 15 °C throughout.
  const auto conditions = readings({{0, 5}, {20, 25}, {30, 5}});
  CHECK(nurse_saul(-10, 30, conditions) == Approx(30 * 25).epsilon(1e-12));
  CHECK(nurse_saul(-10, 10, conditions) == Approx(10 * 20).epsilon(1e-12));
}

TEST_CASE("mean kinetic temperature of equal times at 20 and 30 degrees is 26.260") {
  // USP 29 chapter 1160 (read): heat of activation 83.144 kJ/mol over 8.3144e-3 is 10 000 K
  // exactly.
  const double mean_rate = age_h(10000, 20, {ramp(12, 20, 20), ramp(12, 30, 30)}) / 24;
  const double kelvin = 1 / (1 / (20 + zero_celsius_k) - std::log(mean_rate) / 10000);
  CHECK(kelvin - zero_celsius_k == Approx(26.260).margin(5e-4));
}

TEST_CASE("steps add up to the closed form") {
  CHECK(age_h(5000, 20, {ramp(12, 10, 10), ramp(12, 20, 20)}) == Approx(18.5701).margin(5e-5));
  CHECK(12 * danish(10) + 12 * danish(20) == Approx(17.9683).margin(5e-5));
  CHECK(age_h(5000, 23, {ramp(24, 10, 10)}) == Approx(11.0552).margin(5e-5));
  CHECK(age_h(5000, 23, {ramp(24, 30, 30)}) == Approx(35.4423).margin(5e-5));
}

TEST_CASE("linear ramps meet their closed form to eight decimals") {
  // h / (Tb - Ta) (G(Tb) - G(Ta)), G(T) = e^(Q/Ts) (T e^(-Q/T) - Q E1(Q/T)); the digits agree with
  // sums of 200 000 steps.
  const double oil = 60000 / 8.314, solvent = 45000 / 8.314;
  CHECK(std::abs(age_h(5000, 20, {ramp(24, 10, 30)}) - 25.20481861) < 6e-9);
  CHECK(std::abs(age_h(5000, 20, {ramp(24, 10, 20)}) - 18.09079133) < 6e-9);
  CHECK(std::abs(age_h(oil, 20, {ramp(24, 10, 20)}) - 16.11258814) < 6e-9);
  CHECK(std::abs(age_h(solvent, 20, {ramp(48, 5, 25)}) - 37.07098686) < 6e-9);
}

TEST_CASE("the closed form itself agrees over any ramp") {
  const auto closed = [](double q, double reference_c, double hours, double from_c, double to_c) {
    const auto g = [&](double kelvin) {
      return std::exp(q / (reference_c + zero_celsius_k)) *
             (kelvin * std::exp(-q / kelvin) + q * std::expint(-q / kelvin));
    };
    return hours / (to_c - from_c) * (g(to_c + zero_celsius_k) - g(from_c + zero_celsius_k));
  };
  for (const double q : {3000.0, 5000.0, 7216.7, 10000.0})
    for (double from = -29.5; from <= 60; from += 7)
      for (double to = -28; to <= 60; to += 11)
        CHECK(age_h(q, 21, {ramp(37, from, to)}) ==
              Approx(closed(q, 21, 37, from, to)).epsilon(1e-9));
}

TEST_CASE("capped ramps meet their closed form to eight decimals") {
  const double solvent = 45000 / 8.314;
  const auto cure_h = [](double q, const Stretch& stretch) {
    return cure_over(capped(q, 20), {stretch}) / 3600;
  };
  CHECK(std::abs(cure_h(5000, ramp(24, 10, 30)) - 21.04539566) < 6e-9);
  CHECK(std::abs(cure_h(solvent, ramp(48, 5, 25)) - 34.99337005) < 6e-9);
  // What the cap takes off is what a longest wait adds: min(1, x) + max(1, x) = 1 + x.
  CHECK(std::abs(cure_over(capped(5000, 20), {ramp(24, 10, 30)}, Direction::longest) / 3600 -
                 (24 + 25.20481861 - 21.04539566)) < 2e-8);
}

TEST_CASE("order does not matter and warmth never takes cure away") {
  const std::vector<Stretch> up{ramp(5, 8, 12), ramp(9, 12, 31), ramp(2, 31, 19)};
  const std::vector<Stretch> down{up[2], up[0], up[1]};
  CHECK(age_h(5000, 20, up) == Approx(age_h(5000, 20, down)).epsilon(1e-12));
  CHECK(cure_over(capped(5000, 20), up) <= equivalent_age_uncapped(5000, 20, up));
  CHECK(cure_over(capped(5000, 20), up) <= 16 * 3600);
  for (double t = -20; t < 60; ++t) CHECK(hour_at(5000, t + 1, 20) > hour_at(5000, t, 20));
}
