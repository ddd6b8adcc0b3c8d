// Sums kept with the readings of a place against sums made anew for each wait.
#include "engine/cure_sums.h"

#include <catch2/catch.hpp>
#include <cmath>
#include <random>

#include "weather.h"

using namespace trencher;
using namespace trencher::engine;
using namespace trencher::engine::weather;

namespace {

// Some months of readings, with gaps, and now and then without humidity.
Stay long_stay(std::mt19937& dice) {
  Stay out = random_stay(dice);
  for (int i = 0; i < 12; ++i) {
    const Stay more = random_stay(dice);
    const Seconds later = out.readings.empty() || more.readings.empty()
                              ? Seconds(0)
                              : out.readings.back().at - more.readings.front().at + Seconds(600);
    for (Reading reading : more.readings) {
      reading.at += later;
      out.readings.push_back(reading);
    }
  }
  return out;
}

CureLaw some_law(std::mt19937& dice) {
  static const std::vector<Mechanism> mechanisms{
      Mechanism::oxidative,  Mechanism::solvent_evaporation, Mechanism::coalescing,
      Mechanism::water_glue, Mechanism::moisture_glue,       Mechanism::two_part,
      Mechanism::wax_set};
  Label label;
  label.mechanism = mechanisms[dice() % mechanisms.size()];
  label.reference_temp = Figure{static_cast<std::int64_t>(15 + dice() % 10) * 1000, false};
  if (dice() % 2) label.lowest_temp = Figure{static_cast<std::int64_t>(dice() % 12) * 1000, false};
  return cure_law(label);
}

void check_same(const Reached& a, const Reached& b) {
  CHECK(a.at == b.at);
  CHECK(a.guessed == b.guessed);
  REQUIRE(a.parts.size() == b.parts.size());
  const auto same = [](std::optional<double> x, std::optional<double> y) {
    CHECK(x.has_value() == y.has_value());
    if (x && y) CHECK(*x == Approx(*y).epsilon(1e-9).margin(1e-6));
  };
  for (std::size_t i = 0; i < a.parts.size(); ++i) {
    const CurePart &x = a.parts[i], &y = b.parts[i];
    CHECK(x.from == y.from);
    CHECK(x.to == y.to);
    CHECK(x.steady == y.steady);
    CHECK(x.guessed == y.guessed);
    CHECK(x.why == y.why);
    same(x.mean_temp_c, y.mean_temp_c);
    same(x.mean_rh_pct, y.mean_rh_pct);
    same(x.cure_s, y.cure_s);
    same(x.factor, y.factor);
    same(x.below_lowest_s, y.below_lowest_s);
  }
}

}  // namespace

TEST_CASE("a place's log that many share gives each the dates that its own would") {
  std::mt19937 dice(26);
  for (int round = 0; round < 40; ++round) {
    std::vector<Stay> stays{long_stay(dice), long_stay(dice)};
    if (!stays[0].readings.empty())
      stays[1].from = stays[0].readings[stays[0].readings.size() / 2].at;
    const Conditions shared(stays);
    const std::vector<CureLaw> laws{some_law(dice), some_law(dice)};
    for (int i = 0; i < 30; ++i) {
      // Forth and back, so that sums are lengthened on both sides.
      const Instant start =
          t0 + Seconds(std::uniform_int_distribution<int>(-200000, 15000000)(dice));
      const Seconds wait(std::uniform_int_distribution<int>(1, 2000000)(dice));
      const Direction direction = dice() % 4 ? Direction::shortest : Direction::longest;
      const CureLaw& law = laws[dice() % 2];
      const Conditions own(stays);
      const Reached reached = when_reached(law, start, wait, shared, direction);
      check_same(reached, when_reached(law, start, wait, own, direction));
      const Instant now = start + Seconds(std::uniform_int_distribution<int>(0, 4000000)(dice));
      CHECK(cure_by_readings(law, start, now, shared) ==
            Approx(cure_by_readings(law, start, now, own)).epsilon(1e-9));
      // Stretch by stretch, with no sum kept.
      const Worse worse = direction == Direction::longest             ? Worse::warmer
                          : law.mechanism == Mechanism::moisture_glue ? Worse::colder_drier
                                                                      : Worse::colder;
      CHECK(cure_so_far(law, start, now, shared) ==
            Approx(cure_over(law, shared.between(start, now,
                                                 law.mechanism == Mechanism::moisture_glue
                                                     ? Worse::colder_drier
                                                     : Worse::colder)))
                .epsilon(1e-9)
                .margin(1e-6));
      if (!reached.at || *reached.at <= start + wait) continue;
      const auto gained = [&](Instant at) {
        return cure_over(law, shared.between(start, at, worse), direction);
      };
      CHECK(gained(*reached.at) >= static_cast<double>(wait.count()) - 1e-4);
      CHECK(gained(*reached.at - Seconds(1)) < static_cast<double>(wait.count()) + 1e-4);
    }
  }
}

TEST_CASE("a long sum keeps what doubles round off") {
  LongSum sum;
  double plain = 0;
  for (int i = 0; i < 1000000; ++i) {
    sum.add(600.1);
    plain += 600.1;
  }
  // 600.1 as a double is 600.1 to 2e-14 of it.
  CHECK(std::abs(sum.value() - 600100000) <= 1.2e-7);
  CHECK(std::abs(plain - 600100000) > 1e-3);
}
