#include "engine/conditions.h"

#include <catch2/catch.hpp>

#include "domain/error.h"
#include "weather.h"

using namespace trencher;
using namespace trencher::engine;
using namespace trencher::engine::weather;

TEST_CASE("between two readings temperature and humidity run linearly and nothing is guessed") {
  const auto conditions = in_garage({reading(t0, 10, 40), reading(t0 + 10h, 20, 60)});
  const auto stretches = conditions.between(t0 + 2h, t0 + 5h);
  REQUIRE(stretches.size() == 1);
  CHECK(stretches[0].from == t0 + 2h);
  CHECK(stretches[0].to == t0 + 5h);
  CHECK(*stretches[0].temp_from_c == Approx(12));
  CHECK(*stretches[0].temp_to_c == Approx(15));
  CHECK(*stretches[0].rh_from_pct == Approx(44));
  CHECK(*stretches[0].rh_to_pct == Approx(50));
  CHECK_FALSE(stretches[0].guessed);
  CHECK(stretches[0].why.empty());
}

TEST_CASE("after the last reading the declared conditions count as a guess") {
  const auto stretches = in_garage({reading(t0, 18, 50)}, 12, 60).between(t0, t0 + 6h);
  REQUIRE(stretches.size() == 1);
  CHECK(stretches[0].temp_from_c == 12);
  CHECK(stretches[0].rh_to_pct == 60);
  CHECK(stretches[0].guessed);
  CHECK(stretches[0].why ==
        "no reading in Garage after Sat 5 Dec 2026 18:00, the declared 12 °C and 60 % count");
  CHECK(stretches[0].temp_why ==
        "no reading in Garage after Sat 5 Dec 2026 18:00, the declared 12 °C counts");
  CHECK(stretches[0].rh_why ==
        "no humidity reading in Garage after Sat 5 Dec 2026 18:00, the declared 60 % counts");
}

TEST_CASE("where nothing is declared the last and the first reading count as guesses") {
  const auto conditions = in_garage({reading(t0 + 1h, 14, 55), reading(t0 + 2h, 15, 70)});
  const auto stretches = conditions.between(t0, t0 + 4h);
  REQUIRE(stretches.size() == 3);
  CHECK(
      stretches[0].why ==
      "no reading in Garage before Sat 5 Dec 2026 19:00, the first reading's 14 °C and 55 % count");
  CHECK(stretches[0].temp_to_c == 14);
  CHECK_FALSE(stretches[1].guessed);
  CHECK(stretches[2].why ==
        "no reading in Garage after Sat 5 Dec 2026 20:00, the last reading's 15 °C and 70 % count");
  CHECK(stretches[2].rh_from_pct == 70);
}

TEST_CASE("across a gap over a day the colder and the damper reading count") {
  const std::vector<Reading> readings{reading(t0, 10, 40), reading(t0 + 24h + 1s, 20, 60)};
  const auto stretches = in_garage(readings).between(t0 + 1h, t0 + 2h);
  REQUIRE(stretches.size() == 1);
  CHECK(stretches[0].temp_from_c == 10);
  CHECK(stretches[0].rh_from_pct == 60);
  CHECK(stretches[0].why ==
        "no reading in Garage between Sat 5 Dec 2026 18:00 and Sun 6 Dec 2026 18:00, the colder "
        "reading's 10 °C and the damper reading's 60 % count");
  CHECK(in_garage(readings).between(t0 + 1h, t0 + 2h, Worse::warmer)[0].temp_from_c == 20);
  // Declared conditions win over both.
  CHECK(in_garage(readings, 15).between(t0 + 1h, t0 + 2h)[0].temp_from_c == 15);
}

TEST_CASE("a gap of exactly a day is still interpolated") {
  const auto stretches =
      in_garage({reading(t0, 10, 40), reading(t0 + 24h, 20, 60)}).between(t0 + 12h, t0 + 24h);
  REQUIRE(stretches.size() == 1);
  CHECK_FALSE(stretches[0].guessed);
  CHECK(*stretches[0].temp_from_c == Approx(15));
}

TEST_CASE("where only the temperature is declared humidity comes from the neighbour") {
  const auto stretches = in_garage({reading(t0, 18, 50)}, 12).between(t0 + 1h, t0 + 2h);
  CHECK(stretches[0].temp_from_c == 12);
  CHECK(stretches[0].rh_from_pct == 50);
  CHECK(stretches[0].why ==
        "no reading in Garage after Sat 5 Dec 2026 18:00, the declared 12 °C "
        "and the last reading's 50 % count");
}

TEST_CASE("a reading without humidity does not break the line of humidity") {
  const auto conditions =
      in_garage({reading(t0, 10, 40), reading(t0 + 5h, 12), reading(t0 + 10h, 20, 60)});
  const auto stretches = conditions.between(t0, t0 + 10h);
  REQUIRE(stretches.size() == 2);
  CHECK(*stretches[0].rh_to_pct == Approx(50));
  CHECK(stretches[0].temp_to_c == 12);
  CHECK_FALSE(stretches[1].guessed);
}

TEST_CASE("without any humidity it is absent and that alone is no guess") {
  const auto stretches = in_garage({reading(t0, 10), reading(t0 + 5h, 12)}).between(t0, t0 + 5h);
  CHECK_FALSE(stretches[0].rh_from_pct);
  CHECK_FALSE(stretches[0].guessed);
}

TEST_CASE("temperature and humidity can lack at different times") {
  const auto stretches =
      in_garage({reading(t0, 10, 40), reading(t0 + 5h, 12)}, 8, 45).between(t0 + 6h, t0 + 7h);
  CHECK(stretches[0].why ==
        "no reading in Garage after Sat 5 Dec 2026 23:00, the declared 8 °C counts; no humidity "
        "reading in Garage after Sat 5 Dec 2026 18:00, the declared 45 % counts");
}

TEST_CASE("without reading and declaration nothing is known and that is a guess") {
  const auto stretches = in_garage({}).between(t0, t0 + 1h);
  REQUIRE(stretches.size() == 1);
  CHECK_FALSE(stretches[0].temp_from_c);
  CHECK_FALSE(stretches[0].rh_from_pct);
  CHECK(stretches[0].guessed);
  CHECK(stretches[0].why ==
        "no reading in Garage and nothing declared, counted as if it were as "
        "warm as the label asks");
  // Declared humidity alone leaves the temperature unknown.
  CHECK(
      in_garage({}, {}, 55).between(t0, t0 + 1h)[0].why ==
      "no reading in Garage and nothing declared, counted as if it were as warm as the label asks; "
      "no humidity reading in Garage, the declared 55 % counts");
}

TEST_CASE("reasons show the workshop's own time and units") {
  const Conditions conditions({{t0, place("Garage", 10), {reading(t0, 18)}}}, at_offset(60),
                              Units::us);
  CHECK(conditions.between(t0, t0 + 1h)[0].why ==
        "no reading in Garage after Sat 5 Dec 2026 19:00, the declared 50 °F counts");
}

TEST_CASE("a move switches the place and readings outside the stay serve at its edges") {
  const Conditions conditions(
      {{t0, place("Garage"), {reading(t0, 10), reading(t0 + 10h, 20)}},
       {t0 + 5h, place("House"), {reading(t0, 30), reading(t0 + 10h, 20)}}});
  const auto stretches = conditions.between(t0, t0 + 10h);
  REQUIRE(stretches.size() == 2);
  CHECK(stretches[0].to == t0 + 5h);
  CHECK(*stretches[0].temp_to_c == Approx(15));
  CHECK(*stretches[1].temp_from_c == Approx(25));
  CHECK(*stretches[1].temp_to_c == Approx(20));
  CHECK_FALSE(stretches[0].guessed);
  CHECK_FALSE(stretches[1].guessed);
  // The first place counts for the time before it too.
  CHECK(conditions.between(t0 - 1h, t0)[0].why.starts_with("no reading in Garage before"));
}

TEST_CASE("of two readings at one moment the colder and the damper count") {
  const auto conditions =
      in_garage({reading(t0, 12, 40), reading(t0, 10, 55), reading(t0 + 1h, 11, 50)});
  const auto stretches = conditions.between(t0, t0 + 1h);
  REQUIRE(stretches.size() == 1);
  CHECK(stretches[0].temp_from_c == 10);
  CHECK(stretches[0].rh_from_pct == 55);
}

TEST_CASE("conditions are settled after the last reading of the last place") {
  CHECK(in_garage({reading(t0 + 3h, 12)}).settled() == t0 + 3h);
  CHECK(in_garage({}).settled() == t0);
  const Conditions moved({{t0, place("Garage"), {reading(t0 + 90h, 10)}},
                          {t0 + 5h, place("House"), {reading(t0, 30)}}});
  CHECK(moved.settled() == t0 + 5h);
}

TEST_CASE("a batch without a place is refused") {
  CHECK_THROWS_AS(Conditions(std::vector<Stay>{}), Error);
}

TEST_CASE("stretches cover the time without holes for random readings and moves") {
  std::mt19937 dice(7);
  for (int round = 0; round < 200; ++round) {
    std::vector<Stay> stays{random_stay(dice), random_stay(dice), random_stay(dice)};
    stays[1].from = t0 + std::chrono::hours(round % 50);
    stays[2].from = stays[1].from + std::chrono::minutes(round);
    const Conditions conditions(stays);
    const Instant from = t0 - std::chrono::hours(round), to = t0 + std::chrono::hours(3 * round);
    const auto stretches = conditions.between(from, to);
    if (from == to) {
      CHECK(stretches.empty());
      continue;
    }
    REQUIRE_FALSE(stretches.empty());
    CHECK(stretches.front().from == from);
    CHECK(stretches.back().to == to);
    for (std::size_t i = 0; i < stretches.size(); ++i) {
      CHECK(stretches[i].from < stretches[i].to);
      if (i > 0) CHECK(stretches[i].from == stretches[i - 1].to);
      CHECK(stretches[i].guessed == !stretches[i].why.empty());
    }
    // From `settled` on one stretch holds for good.
    const auto rest = conditions.between(conditions.settled(), conditions.settled() + 90000h);
    REQUIRE(rest.size() == 1);
    CHECK(rest[0].temp_from_c == rest[0].temp_to_c);
  }
}
