#include "engine/cure.h"

#include <array>
#include <catch2/catch.hpp>

#include "weather.h"

using namespace trencher;
using namespace trencher::engine;
using namespace trencher::engine::weather;

namespace {

constexpr std::array mechanisms{
    Mechanism::non_drying,          Mechanism::wax_set,       Mechanism::oxidative,
    Mechanism::solvent_evaporation, Mechanism::coalescing,    Mechanism::two_part,
    Mechanism::water_glue,          Mechanism::moisture_glue, Mechanism::none};

Label label_of(Mechanism mechanism, std::optional<double> lowest_c = {}) {
  Label label;
  label.mechanism = mechanism;
  if (lowest_c) label.lowest_temp = Figure{std::llround(*lowest_c * 1000)};
  return label;
}
CureLaw law_of(Mechanism mechanism, std::optional<double> lowest_c = {}) {
  return cure_law(label_of(mechanism, lowest_c));
}

Stretch stretch(Seconds length, double temp_from, double temp_to,
                std::optional<double> rh_from = {}, std::optional<double> rh_to = {}) {
  Stretch out;
  out.from = t0;
  out.to = t0 + length;
  out.temp_from_c = temp_from;
  out.temp_to_c = temp_to;
  out.rh_from_pct = rh_from;
  out.rh_to_pct = rh_to;
  return out;
}

// A law at random: any mechanism, reference 15 to 25 °C, some with a lowest temperature.
CureLaw random_law(std::mt19937& dice) {
  const auto roll = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(dice);
  };
  Label label = label_of(mechanisms[static_cast<std::size_t>(roll(0, 8.99))]);
  label.water_borne = roll(0, 1) < 0.5;
  label.reference_temp = Figure{std::llround(roll(15000, 25000))};
  label.reference_rh = Figure{std::llround(roll(400, 650))};
  if (roll(0, 1) < 0.5) label.lowest_temp = Figure{std::llround(roll(0, 14000))};
  return cure_law(label);
}

// A date that is absent counts as the latest of all.
Instant or_never(const Reached& reached) { return reached.at.value_or(Instant::max()); }

}  // namespace

TEST_CASE("rates in the cold are those of the project's table by mechanism") {
  // Computed from Ea = 60, 60, 50, 50, 45 kJ/mol over 8.314 J/(mol K) at reference 20 °C.
  const auto check = [](Mechanism mechanism, double at10, double at15, double at18) {
    const CureLaw law = law_of(mechanism);
    CHECK(rate(law, 10, 50) == Approx(at10).margin(5e-5));
    CHECK(rate(law, 15, 50) == Approx(at15).margin(5e-5));
    CHECK(rate(law, 18, 50) == Approx(at18).margin(5e-5));
    CHECK(rate(law, 20, 50) == 1);
    CHECK(rate(law, 35, 50) == 1);
  };
  check(Mechanism::oxidative, 0.4192, 0.6524, 0.8444);
  check(Mechanism::two_part, 0.4192, 0.6524, 0.8444);
  check(Mechanism::moisture_glue, 0.4192, 0.6524, 0.8444);
  check(Mechanism::coalescing, 0.4846, 0.7005, 0.8686);
  check(Mechanism::water_glue, 0.4846, 0.7005, 0.8686);
  check(Mechanism::solvent_evaporation, 0.5210, 0.7259, 0.8809);
  check(Mechanism::wax_set, 1, 1, 1);
  check(Mechanism::non_drying, 1, 1, 1);
  check(Mechanism::none, 1, 1, 1);
}

TEST_CASE("oil and solvent slow in damp air and stop above 85 per cent") {
  for (const Mechanism mechanism : {Mechanism::oxidative, Mechanism::solvent_evaporation}) {
    const CureLaw law = law_of(mechanism);
    CHECK(humidity_factor(law, 10) == 1);
    CHECK(humidity_factor(law, 65) == 1);
    CHECK(humidity_factor(law, 75) == Approx(0.75));
    CHECK(humidity_factor(law, 85) == Approx(0.5));
    CHECK(humidity_factor(law, 85.1) == 0);
    CHECK(humidity_factor(law, std::nullopt) == 1);
  }
}

TEST_CASE("water leaves in proportion to the gap in the air and not at all from 95 per cent") {
  CureLaw soap = law_of(Mechanism::solvent_evaporation);
  soap.water_borne = true;
  for (const CureLaw& law : {soap, law_of(Mechanism::coalescing), law_of(Mechanism::water_glue)}) {
    CHECK(humidity_factor(law, 30) == 1);
    CHECK(humidity_factor(law, 50) == 1);
    CHECK(humidity_factor(law, 75) == Approx(0.5));
    CHECK(humidity_factor(law, 94.9) == Approx(0.102));
    CHECK(humidity_factor(law, 95) == 0);
    CHECK(humidity_factor(law, std::nullopt) == Approx(0.7));
  }
  CureLaw damp = law_of(Mechanism::coalescing);
  damp.reference_rh_pct = 100;  // a label that cannot be: no division by nothing
  CHECK(humidity_factor(damp, 94) == 1);
  CHECK(humidity_factor(damp, 96) == 0);
}

TEST_CASE("moisture glue is slow in dry air and the others do not care") {
  const CureLaw law = law_of(Mechanism::moisture_glue);
  CHECK(humidity_factor(law, 25) == Approx(0.5));
  CHECK(humidity_factor(law, 50) == 1);
  CHECK(humidity_factor(law, 90) == 1);
  for (const Mechanism mechanism :
       {Mechanism::two_part, Mechanism::wax_set, Mechanism::non_drying, Mechanism::none}) {
    CHECK_FALSE(humidity_counts(law_of(mechanism)));
    CHECK(humidity_factor(law_of(mechanism), 99) == 1);
  }
}

TEST_CASE("below the lowest temperature nothing cures and at it something does") {
  const CureLaw law = law_of(Mechanism::coalescing, 12);
  CHECK(rate(law, 11.999, 50) == 0);
  CHECK(rate(law, 12, 50) > 0.5);
  // A label may ask it of wax too.
  CHECK(rate(law_of(Mechanism::wax_set, 10), 9, 50) == 0);
}

TEST_CASE("the rate for longest waits rises with heat and never falls below one") {
  const CureLaw law = law_of(Mechanism::oxidative, 10);
  CHECK(upper_rate(law, 5) == 1);
  CHECK(upper_rate(law, 20) == 1);
  CHECK(upper_rate(law, 30) == Approx(arrhenius(law.activation_k, 30, 20)));
  CHECK(upper_rate(law, 30) > 2);
}

TEST_CASE("the label's reference counts where it names one") {
  Label label = label_of(Mechanism::water_glue);
  label.reference_temp = Figure{23000};
  label.reference_rh = Figure{600};
  const CureLaw law = cure_law(label);
  CHECK(rate(law, 23, 60) == 1);
  CHECK(rate(law, 20, 60) < 0.9);
  CHECK(humidity_factor(law, 80) == Approx(0.5));
}

TEST_CASE("a wait at constant conditions ends at the first whole second after wait over rate") {
  const CureLaw law = law_of(Mechanism::oxidative);
  const auto reached = when_reached(law, t0, 24h, in_garage(steady(72, 12, 60)));
  REQUIRE(reached.at);
  const double factor = std::exp(-60000 / 8.314 * (1 / 285.15 - 1 / 293.15));
  CHECK((*reached.at - t0).count() == static_cast<long>(std::ceil(86400 / factor)));
  CHECK_FALSE(reached.guessed);
  REQUIRE(reached.parts.size() == 1);
  CHECK(reached.parts[0].steady);
  CHECK(reached.parts[0].mean_temp_c == 12);
  CHECK(reached.parts[0].mean_rh_pct == 60);
  CHECK(reached.parts[0].factor == Approx(factor).epsilon(1e-9));
  CHECK(reached.parts[0].cure_s == Approx(86400).epsilon(1e-12));
  CHECK(reached.parts[0].to == *reached.at);
}

TEST_CASE("a warm shop ends a wait exactly with the label's time and not a second later") {
  for (const Mechanism mechanism : mechanisms) {
    const auto readings = hourly(
        2000, [](int i) { return i % 2 ? 45 : 20 + i % 7; }, [](int) { return 50; });
    for (const Seconds wait : {Seconds(1), Seconds(4h), Seconds(24h), Seconds(30 * 24h)})
      CHECK(when_reached(law_of(mechanism), t0 + 11s, wait, in_garage(readings)).at ==
            t0 + 11s + wait);
  }
}

TEST_CASE("a wait that ends on the very second is not rounded up to the next") {
  // 65 + i % gives 1 - i/40, so 40 - i parts of cure take 40 parts of time.
  for (int i = 1; i < 20; ++i)
    for (int k = 1; k < 200; ++k)
      CHECK(when_reached(law_of(Mechanism::oxidative), t0, Seconds((40 - i) * k),
                         in_garage({}, 20, 65 + i))
                .at == t0 + Seconds(40 * k));
}

TEST_CASE("a wait of nothing ends where it begins") {
  const auto reached = when_reached(law_of(Mechanism::oxidative), t0, 0s, in_garage({}));
  CHECK(reached.at == t0);
  CHECK_FALSE(reached.guessed);
  CHECK(reached.parts.empty());
}

TEST_CASE("a wait in the cold for ever is never reached") {
  const auto reached =
      when_reached(law_of(Mechanism::two_part, 16), t0, 24h, in_garage({}, 12, 50));
  CHECK_FALSE(reached.at);
  CHECK(reached.guessed);
  REQUIRE(reached.parts.size() == 1);
  CHECK(reached.parts[0].cure_s == 0);
  CHECK(reached.parts[0].below_lowest_s > 9.9 * 365 * 86400);
  // Slow but not stopped: ten years are looked ahead, no more.
  const CureLaw slow = law_of(Mechanism::oxidative);
  CHECK(when_reached(slow, t0, 24h * 365, in_garage({}, 5, 50)).at);
  CHECK_FALSE(when_reached(slow, t0, 24h * 3000, in_garage({}, 5, 50)).at);
}

TEST_CASE("a cold night counts only the hours above the lowest temperature") {
  // 20 °C for 10 h, 5 °C for 10 h, then 20 °C again, with ramps of an hour.
  const auto readings = hourly(
      60, [](int i) { return i >= 11 && i <= 20 ? 5 : 20; }, [](int) { return 50; });
  const auto reached = when_reached(law_of(Mechanism::two_part, 10), t0, 24h, in_garage(readings));
  REQUIRE(reached.at);
  REQUIRE(reached.parts.size() == 1);
  CHECK_FALSE(reached.parts[0].steady);
  // Nine hours at 5 °C and a third of each ramp are below 10 °C.
  CHECK(reached.parts[0].below_lowest_s == Approx((9 + 2.0 / 3) * 3600).epsilon(1e-9));
  CHECK(*reached.at - t0 > 24h + 9h + 40min);
  CHECK(*reached.at - t0 < 24h + 11h);
}

TEST_CASE("unrecorded humidity counts 65 per cent and is a guess only where humidity counts") {
  const auto conditions =
      in_garage({reading(t0, 20), reading(t0 + 20h, 20), reading(t0 + 40h, 20)});
  for (const Mechanism mechanism : mechanisms) {
    const CureLaw law = law_of(mechanism);
    const auto reached = when_reached(law, t0, 10h, conditions);
    REQUIRE(reached.parts.size() == 1);
    CHECK(reached.guessed == humidity_counts(law));
    CHECK(reached.parts[0].why ==
          (humidity_counts(law) ? "humidity not recorded, 65 % assumed" : ""));
    CHECK(reached.parts[0].factor == Approx(humidity_factor(law, 65)));
  }
}

TEST_CASE("where nothing is known the time counts in full and is a guess") {
  const auto reached = when_reached(law_of(Mechanism::water_glue, 12), t0, 1h, in_garage({}));
  CHECK(reached.at == t0 + 1h);
  CHECK(reached.guessed);
  REQUIRE(reached.parts.size() == 1);
  CHECK_FALSE(reached.parts[0].mean_temp_c);
}

TEST_CASE("declared damp counts even where no temperature is known") {
  const auto reached = when_reached(law_of(Mechanism::oxidative), t0, 3h, in_garage({}, {}, 75));
  CHECK(reached.at == t0 + 4h);
  CHECK(reached.guessed);
}

TEST_CASE("across a gap the glue that lives on damp counts the drier reading") {
  const auto gap = in_garage({reading(t0, 20, 25), reading(t0 + 90h, 20, 60)});
  const CureLaw law = law_of(Mechanism::moisture_glue);
  CHECK(when_reached(law, t0, 4h, gap).at == t0 + 8h);
  CHECK(cure_so_far(law, t0, t0 + 8h, gap) == Approx(4 * 3600));
  CHECK(when_reached(law, t0, 4h, gap).parts[0].why ==
        "no reading in Garage between Sat 5 Dec 2026 18:00 and Wed 9 Dec 2026 12:00, the colder "
        "reading's 20 °C and the drier reading's 25 % count");
}

TEST_CASE("an oil that never dries rests on no condition and so on no guess") {
  const auto reached = when_reached(law_of(Mechanism::non_drying), t0, 12h, in_garage({}));
  CHECK(reached.at == t0 + 12h);
  CHECK_FALSE(reached.guessed);
}

TEST_CASE("guessed and read time stand in separate lines that add up") {
  const auto conditions = in_garage(steady(10, 20, 50), 10, 60);
  const auto reached = when_reached(law_of(Mechanism::oxidative), t0, 24h, conditions);
  REQUIRE(reached.parts.size() == 2);
  CHECK_FALSE(reached.parts[0].guessed);
  CHECK(reached.parts[0].cure_s == Approx(36000));
  CHECK(reached.parts[1].guessed);
  CHECK(reached.parts[1].why ==
        "no reading in Garage after Sun 6 Dec 2026 04:00, the declared 10 °C and 60 % count");
  CHECK(reached.parts[0].cure_s + reached.parts[1].cure_s == Approx(86400));
  CHECK(reached.parts[0].to == reached.parts[1].from);
  CHECK(reached.guessed);
  const Instant end = *reached.at;
  CHECK(cure_by_readings(law_of(Mechanism::oxidative), t0, end, conditions) == Approx(36000));
  CHECK(cure_so_far(law_of(Mechanism::oxidative), t0, end, conditions) ==
        Approx(86400).epsilon(1e-5));
  CHECK(cure_so_far(law_of(Mechanism::oxidative), t0, t0 - 1h, conditions) == 0);
}

TEST_CASE("heat shortens a longest wait and nothing lengthens it") {
  const CureLaw law = law_of(Mechanism::oxidative, 10);
  const auto warm = when_reached(law, t0, 24h, in_garage(steady(72, 30, 95)), Direction::longest);
  CHECK((*warm.at - t0).count() ==
        static_cast<long>(std::floor(86400 / arrhenius(law.activation_k, 30, 20))));
  const auto cold = when_reached(law, t0, 24h, in_garage(steady(72, 5, 95)), Direction::longest);
  CHECK(*cold.at == t0 + 24h);
  CHECK_FALSE(cold.guessed);
  // Across a gap the warmer reading counts.
  const auto gap = in_garage({reading(t0, 5, 50), reading(t0 + 90h, 30, 50)});
  CHECK(when_reached(law, t0, 24h, gap, Direction::longest).at == warm.at);
}

TEST_CASE("ramps agree with a sum of short steps for random laws") {
  std::mt19937 dice(11);
  const auto roll = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(dice);
  };
  for (int round = 0; round < 60; ++round) {
    const CureLaw law = random_law(dice);
    const Stretch ramp = stretch(24h, roll(-10, 40), roll(-10, 40), roll(10, 100), roll(10, 100));
    for (const Direction direction : {Direction::shortest, Direction::longest}) {
      constexpr int steps = 200000;
      double sum = 0;
      for (int i = 0; i < steps; ++i) {
        const double share = (i + 0.5) / steps;
        const double temp = *ramp.temp_from_c + (*ramp.temp_to_c - *ramp.temp_from_c) * share;
        const double rh = *ramp.rh_from_pct + (*ramp.rh_to_pct - *ramp.rh_from_pct) * share;
        sum += direction == Direction::shortest ? rate(law, temp, rh) : upper_rate(law, temp);
      }
      sum *= 86400.0 / steps;
      // A step of the sum may straddle a jump of the rate, hence half a second.
      CHECK(cure_over(law, {ramp}, direction) == Approx(sum).margin(0.5).epsilon(1e-9));
    }
  }
}

TEST_CASE("splitting a stretch changes nothing") {
  std::mt19937 dice(12);
  const auto roll = [&](double low, double high) {
    return std::uniform_real_distribution<double>(low, high)(dice);
  };
  for (int round = 0; round < 500; ++round) {
    const CureLaw law = random_law(dice);
    const Stretch whole = stretch(24h, roll(-10, 40), roll(-10, 40), roll(10, 100), roll(10, 100));
    const Seconds cut(std::llround(roll(1, 86399)));
    const double share = static_cast<double>(cut.count()) / 86400;
    Stretch first = whole, second = whole;
    first.to = second.from = whole.from + cut;
    first.temp_to_c = second.temp_from_c =
        *whole.temp_from_c + (*whole.temp_to_c - *whole.temp_from_c) * share;
    first.rh_to_pct = second.rh_from_pct =
        *whole.rh_from_pct + (*whole.rh_to_pct - *whole.rh_from_pct) * share;
    for (const Direction direction : {Direction::shortest, Direction::longest})
      CHECK(cure_over(law, {first, second}, direction) ==
            Approx(cure_over(law, {whole}, direction)).epsilon(1e-9).margin(1e-6));
  }
}

TEST_CASE("a date is the first second at which the cure is enough") {
  std::mt19937 dice(13);
  int found = 0;
  for (int round = 0; round < 400; ++round) {
    const CureLaw law = random_law(dice);
    const Conditions conditions({random_stay(dice)});
    const Seconds wait(std::uniform_int_distribution<int>(1, 500000)(dice));
    const auto reached = when_reached(law, t0, wait, conditions);
    double sum = 0;
    for (const CurePart& part : reached.parts) sum += part.cure_s;
    if (!reached.at) {
      CHECK(sum < static_cast<double>(wait.count()));
      continue;
    }
    ++found;
    const double need = static_cast<double>(wait.count());
    CHECK(cure_so_far(law, t0, *reached.at, conditions) >= need - 2e-6);
    CHECK(cure_so_far(law, t0, *reached.at - 1s, conditions) < need);
    CHECK(sum == Approx(need).epsilon(1e-9));
    CHECK(reached.parts.front().from == t0);
    CHECK(reached.parts.back().to == *reached.at);
  }
  CHECK(found > 200);
}

TEST_CASE("a date never falls before start plus the label's wait nor a longest wait after it") {
  std::mt19937 dice(14);
  for (int round = 0; round < 500; ++round) {
    const CureLaw law = random_law(dice);
    const Conditions conditions({random_stay(dice)});
    const Seconds wait(std::uniform_int_distribution<int>(1, 3000000)(dice));
    CHECK(or_never(when_reached(law, t0, wait, conditions)) >= t0 + wait);
    const auto upper = when_reached(law, t0, wait, conditions, Direction::longest);
    REQUIRE(upper.at);
    CHECK(*upper.at <= t0 + wait);
    CHECK(*upper.at >= t0);
  }
}

TEST_CASE("a longer label wait never gives an earlier date") {
  std::mt19937 dice(15);
  for (int round = 0; round < 300; ++round) {
    const CureLaw law = random_law(dice);
    const Conditions conditions({random_stay(dice)});
    Seconds wait(std::uniform_int_distribution<int>(1, 400000)(dice));
    Instant last{}, last_upper{};
    for (int i = 0; i < 5; ++i, wait += Seconds(1 + i * 997)) {
      const Instant at = or_never(when_reached(law, t0, wait, conditions));
      const Instant upper = *when_reached(law, t0, wait, conditions, Direction::longest).at;
      if (i > 0) {
        CHECK(at >= last);
        CHECK(upper >= last_upper);
      }
      last = at;
      last_upper = upper;
    }
  }
}

TEST_CASE("a colder or damper reading never gives an earlier date") {
  std::mt19937 dice(16);
  for (int round = 0; round < 400; ++round) {
    CureLaw law = random_law(dice);
    Stay stay = random_stay(dice);
    if (stay.readings.empty()) continue;
    const Seconds wait(std::uniform_int_distribution<int>(1, 400000)(dice));
    const Instant before = or_never(when_reached(law, t0, wait, Conditions({stay})));
    const Instant before_upper =
        *when_reached(law, t0, wait, Conditions({stay}), Direction::longest).at;
    Reading& changed = stay.readings[std::uniform_int_distribution<std::size_t>(
        0, stay.readings.size() - 1)(dice)];
    changed.temp.milli -= std::uniform_int_distribution<int>(1, 9000)(dice);
    CHECK(or_never(when_reached(law, t0, wait, Conditions({stay}))) >= before);
    CHECK(*when_reached(law, t0, wait, Conditions({stay}), Direction::longest).at >= before_upper);
    if (!changed.rh || law.mechanism == Mechanism::moisture_glue) continue;
    const Instant colder = or_never(when_reached(law, t0, wait, Conditions({stay})));
    changed.rh->permille = std::min<std::int64_t>(1000, changed.rh->permille + 120);
    CHECK(or_never(when_reached(law, t0, wait, Conditions({stay}))) >= colder);
  }
}

TEST_CASE("a reading at the interpolated value within a day changes nothing") {
  std::mt19937 dice(17);
  for (int round = 0; round < 300; ++round) {
    const CureLaw law = random_law(dice);
    Stay stay{t0, place("Garage", 10, 50), {}};
    // Steps of whole milli-degrees a minute, so that the value between is exact.
    const auto step = [&](int size) {
      return std::uniform_int_distribution<int>(-size, size)(dice);
    };
    std::int64_t milli = 15000, permille = 600;
    for (int i = 0; i < 8; ++i) {
      stay.readings.push_back({0, t0 + i * 10h, Celsius{milli}, Percent{permille}});
      milli += step(20) * 600;
      permille = std::clamp<std::int64_t>(permille + step(2) * 60, 200, 1000);
    }
    const Seconds wait(std::uniform_int_distribution<int>(1, 150000)(dice));
    const auto plain = when_reached(law, t0, wait, Conditions({stay}));
    const std::size_t i = static_cast<std::size_t>(std::uniform_int_distribution<int>(0, 6)(dice));
    const Reading a = stay.readings[i], b = stay.readings[i + 1];
    // A tenth of the way, an hour in.
    const Reading between{0, a.at + 1h, Celsius{a.temp.milli + (b.temp.milli - a.temp.milli) / 10},
                          Percent{a.rh->permille + (b.rh->permille - a.rh->permille) / 10}};
    stay.readings.insert(stay.readings.begin() + static_cast<long>(i) + 1, between);
    const auto added = when_reached(law, t0, wait, Conditions({stay}));
    CHECK(added.at == plain.at);
    CHECK(added.guessed == plain.guessed);
    CHECK(added.parts.size() == plain.parts.size());
  }
}
