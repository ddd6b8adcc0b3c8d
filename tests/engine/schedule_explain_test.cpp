#include <catch2/catch.hpp>

#include "engine/schedule.h"
#include "shop.h"

using namespace trencher;
using namespace trencher::engine;
using namespace trencher::engine::shop;

TEST_CASE("the explanation of a cold wait can be followed with a calculator") {
  BatchWork work = batch({oil()}, {plan("coat", 1, 1)});
  work.tins["F1"].label.handle = h(24);
  log(work, "coat", t0, {"F1"});
  const Conditions garage = in_garage(steady(30, 12, 75), 18, 50);
  const Date date = date_of(work, handle, garage, t0);
  // 30 h at exp(-7216.7 (1/285.15 - 1/293.15)) = 0.5012 x 0.75, then 18 °C at 0.8444.
  const std::vector<std::string> lines = explain(date, Units::metric, at_offset(0));
  const std::vector<std::string> expected{
      "from Sat 5 Dec 2026 18:00: F1 hard oil (entry 10)",
      "label: 24 h at 20 °C",
      "Sat 5 Dec 2026 18:00 to Mon 7 Dec 2026 00:00: 30.0 h at 12.0 °C, 75 % → factor 0.3759 → "
      "11.3 h",
      "Mon 7 Dec 2026 00:00 to Mon 7 Dec 2026 15:03: 15.1 h at 18.0 °C, 50 % → factor 0.8444 → "
      "12.7 h",
      "guessed: no reading in Garage after Mon 7 Dec 2026 00:00, the declared 18 °C and 50 % count",
      "factor = exp(−Q (1/T − 1/Tref)) = 0.5012, Q = 7216.7 K, T = 285.15 K, Tref = 293.15 K, "
      "counted "
      "as 1 at most, times 0.7500 for humidity",
      "below 10 °C nothing counts",
      "sum 24.0 h reached Mon 7 Dec 2026 15:03"};
  CHECK(lines == expected);
  const auto us = explain(date, Units::us, at_offset(-300));
  CHECK(us[1] == "label: 24 h at 68 °F");
  CHECK(us[2].starts_with("Sat 5 Dec 2026 13:00 to Sun 6 Dec 2026 19:00: 30.0 h at 53.6 °F, 75 %"));
}

TEST_CASE("the explanation of changing conditions names their mean and the cold hours") {
  BatchWork work = batch({oil()}, {plan("coat", 1, 1)});
  work.tins["F1"].label.handle = h(12);
  log(work, "coat", t0, {"F1"});
  const auto readings = hourly(
      90, [](int i) { return i % 2 ? 5 : 25; }, [](int) { return 50; });
  const auto lines =
      explain(date_of(work, handle, in_garage(readings), t0), Units::metric, at_offset(0));
  REQUIRE(lines.size() == 7);
  CHECK(lines[2].find(" mean, 50 % (") != std::string::npos);
  CHECK(lines[2].find(" of it too cold to count) → factor 0.") != std::string::npos);
  CHECK(lines[5] ==
        "where conditions change, the factor is the mean over time, not that of the mean");
}

TEST_CASE("explanations say what is usual and what is absent and what has no bearing") {
  Tin soft = tin("F6", "board oil", Mechanism::non_drying);
  soft.label.handle = usual_h(12);
  BatchWork work = batch({soft}, {plan("coat", 1, 1)});
  CHECK(explain(date_of(work, handle, in_garage({}), t0), Units::metric, at_offset(0)) ==
        std::vector<std::string>{"no coat is logged yet"});
  log(work, "coat", t0, {"F6"});
  CHECK(explain(date_of(work, handle, in_garage({}), t0), Units::metric, at_offset(0)) ==
        std::vector<std::string>{
            "from Sat 5 Dec 2026 18:00: F6 board oil (entry 10)", "usual for its kind: 12 h",
            "Sat 5 Dec 2026 18:00 to Sun 6 Dec 2026 06:00: 12.0 h → factor 1.0000 → 12.0 h",
            "every hour counts in full: temperature and humidity have no bearing on it",
            "sum 12.0 h reached Sun 6 Dec 2026 06:00",
            "guessed: the label gives no wait to handling: the longest usual for its kind counts "
            "(12 h)"});
}

TEST_CASE("a longest wait is explained by the rate that heat raises") {
  BatchWork work = batch({varnish()}, {plan("coat", 1)});
  log(work, "coat", t0, {"F3"});
  const auto lines = explain(date_of(work, next_coat_by, in_garage(steady(90, 30, 90)), t0),
                             Units::metric, at_offset(0));
  REQUIRE(lines.size() == 5);
  CHECK(lines[1] == "label: 24 h at 20 °C");
  CHECK(lines[2] ==
        "Sat 5 Dec 2026 18:00 to Sun 6 Dec 2026 04:39: 10.7 h at 30.0 °C, 90 % → factor "
        "2.2526 → 24.0 h");
  CHECK(lines[3] ==
        "factor = exp(−Q (1/T − 1/Tref)) = 2.2526, Q = 7216.7 K, T = 303.15 K, Tref = "
        "293.15 K, counted as 1 at least");
}

TEST_CASE("the explanation of a glue names the humidity that its label supposes") {
  BatchWork work = batch({glue()}, {plan("sand")});
  log(work, "glue-up", t0);
  const auto lines = explain(date_of(work, clamps_off, house(), t0), Units::metric, at_offset(0));
  CHECK(lines[1] == "label: 1 h at 20 °C and 50 %");
}
