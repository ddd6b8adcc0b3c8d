#include "commands/upcoming.h"

#include <catch2/catch.hpp>

using namespace trencher;
using namespace trencher::commands;

TEST_CASE("upcoming: today, tomorrow and yesterday are told by the local day") {
  const auto at = [](const char* text) { return Moment{instant_from_iso(text), 60}; };
  const Moment now = at("2026-12-05T22:30:00Z");  // 23:30 on the 5th
  CHECK(show_near(at("2026-12-05T22:59:00Z"), now) == "today 23:59");
  CHECK(show_near(at("2026-12-05T23:00:00Z"), now) == "tomorrow 00:00");
  CHECK(show_near(at("2026-12-04T23:00:00Z"), now) == "today 00:00");
  CHECK(show_near(at("2026-12-04T22:59:00Z"), now) == "yesterday 23:59");
  CHECK(show_near(at("2026-12-06T23:00:00Z"), now) == "Mon 7 Dec 2026 00:00");
  CHECK(show_near(at("2026-12-03T22:59:00Z"), now) == "Thu 3 Dec 2026 23:59");
  // The clocks may have changed between the two.
  CHECK(show_near(Moment{instant_from_iso("2026-03-29T01:30:00Z"), 60},
                  Moment{instant_from_iso("2026-03-29T00:30:00Z"), 0}) == "today 02:30");
}
