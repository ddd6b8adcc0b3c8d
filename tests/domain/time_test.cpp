#include "domain/time.h"

#include <catch2/catch.hpp>

#include "refusal.h"

using namespace trencher;
using namespace std::chrono_literals;

namespace {

Day day(int year, unsigned month, unsigned of_month) {
  return std::chrono::year(year) / std::chrono::month(month) / std::chrono::day(of_month);
}

Instant instant(int year, unsigned month, unsigned of_month, Seconds clock = 0s) {
  return std::chrono::sys_days(day(year, month, of_month)) + clock;
}

std::int64_t seconds(std::string_view text) { return parse_duration(text, "Wait").count(); }

}  // namespace

// The examples of RFC 3339 section 5.8 without their fractions, and of ISO 8601 for offsets.
TEST_CASE("time: moments are written as ISO 8601") {
  CHECK(iso(instant(1985, 4, 12, 23h + 20min + 50s)) == "1985-04-12T23:20:50Z");
  CHECK(iso(Moment{instant(1996, 12, 20, 39min + 57s), -8 * 60}) == "1996-12-19T16:39:57-08:00");
  CHECK(iso(Moment{instant(2026, 12, 5, 14h + 30min), 60}) == "2026-12-05T15:30:00+01:00");
  CHECK(iso(Moment{instant(2026, 12, 5), 0}) == "2026-12-05T00:00:00+00:00");
  CHECK(iso(Moment{instant(2026, 12, 5), -210}) == "2026-12-04T20:30:00-03:30");
  CHECK(iso(day(2026, 3, 9)) == "2026-03-09");
  CHECK(iso(instant(1969, 12, 31, 23h + 59min + 59s)) == "1969-12-31T23:59:59Z");
}

TEST_CASE("time: an instant is read exactly as it is written") {
  CHECK(instant_from_iso("2026-12-05T14:30:00Z") == instant(2026, 12, 5, 14h + 30min));
  CHECK(instant_from_iso("1970-01-01T00:00:00Z").time_since_epoch() == 0s);
  CHECK(instant_from_iso("2024-02-29T23:59:59Z") == instant(2024, 2, 29, 24h - 1s));
  for (const std::string text :
       {"", "2026-12-05", "2026-12-05T14:30:00", "2026-12-05 14:30:00Z", "2026-12-05T24:00:00Z",
        "2026-12-05T14:60:00Z", "2026-12-05T14:30:60Z", "2026-02-29T14:30:00Z",
        "2026-12-05T14-30:00Z", "2026-12-05T14:30-00Z", "2026-12-05T1a:30:00Z",
        "2026-12-05T14:30:00z", "2026-12-05T14:30:00+00:00"})
    CHECK(refusal([&] { instant_from_iso(text); }) ==
          "book: '" + text + "' is not a time of the form 2026-12-05T14:30:00Z.");
}

TEST_CASE("time: a day must be of the calendar and of the exact form") {
  CHECK(day_from_iso("2026-12-05") == day(2026, 12, 5));
  CHECK(day_from_iso("2024-02-29") == day(2024, 2, 29));
  CHECK(day_from_iso("2000-02-29") == day(2000, 2, 29));
  for (const auto* text :
       {"", "2026-02-29", "1900-02-29", "2026-04-31", "2026-13-01", "2026-00-01", "2026-01-00",
        "2026-1-5", "26-12-05", "2026-12-5 ", "2026/12/05", "2026-12/05", "20a6-12-05",
        "2026-12-051", " 2026-12-05", "2026-12- 5"}) {
    CAPTURE(text);
    CHECK_FALSE(day_from_iso(text).has_value());
  }
  CHECK(parse_day("2026-12-05", "Best before") == day(2026, 12, 5));
  CHECK(refusal([] { parse_day("2026-02-30", "Best before"); }) ==
        "request: Best before '2026-02-30' is no day of the calendar; write year-month-day, as "
        "2026-12-05.");
}

// Known weekdays: 1970-01-01 was a Thursday, 2000-01-01 a Saturday.
TEST_CASE("time: days and moments are shown with their weekday") {
  CHECK(show(day(1970, 1, 1)) == "Thu 1 Jan 1970");
  CHECK(show(day(2000, 1, 1)) == "Sat 1 Jan 2000");
  CHECK(show(day(2026, 12, 5)) == "Sat 5 Dec 2026");
  CHECK(show(day(2026, 12, 6)) == "Sun 6 Dec 2026");
  CHECK(show(Moment{instant(2026, 12, 5, 14h + 30min), 60}) == "Sat 5 Dec 2026 15:30");
  CHECK(show(Moment{instant(2026, 12, 5, 5min), -60}) == "Fri 4 Dec 2026 23:05");
}

TEST_CASE("time: the local day is that of the offset in force") {
  CHECK(local_day({instant(2026, 12, 5, 23h + 30min), 60}) == day(2026, 12, 6));
  CHECK(local_day({instant(2026, 12, 5, 23h), 60}) == day(2026, 12, 6));
  CHECK(local_day({instant(2026, 12, 5, 23h - 1s), 60}) == day(2026, 12, 5));
  CHECK(local_day({instant(2026, 12, 5, 30min), -60}) == day(2026, 12, 4));
}

TEST_CASE("time: lengths of time are whole units added up") {
  CHECK(seconds("45s") == 45);
  CHECK(seconds("90min") == 5400);
  CHECK(seconds("3h") == 10'800);
  CHECK(seconds("2d") == 172'800);
  CHECK(seconds("2w") == 1'209'600);
  CHECK(seconds("1d 12h") == 129'600);
  CHECK(seconds("1d12h") == 129'600);
  CHECK(seconds("1 d 12 h") == 129'600);
  CHECK(seconds("0h") == 0);
  CHECK(seconds("36600d") == 36600LL * 86400);
  CHECK(refusal([] { seconds("36601d"); }) ==
        "request: Wait '36601d' is longer than a hundred years.");
  for (const std::string text : {"", "3", "h", "-3h", "+3h", "1.5h", "3 hours", "3H", "3h-", "3h 2",
                                 " 3h", "3m", "99999999999999999999h", "20000000001s"})
    CHECK(refusal([&] { seconds(text); }) ==
          "request: Wait '" + text +
              "' is no length of time; write a whole number with min, h, d or w, as 36h or 2d.");
}

TEST_CASE("time: lengths of time are shown by their two largest units") {
  CHECK(show(Seconds(3h)) == "3 h");
  CHECK(show(Seconds(45min)) == "45 min");
  CHECK(show(Seconds(60h)) == "2 d 12 h");
  CHECK(show(Seconds(24h)) == "1 d");
  CHECK(show(Seconds(90s)) == "1 min 30 s");
  CHECK(show(Seconds(90min)) == "1 h 30 min");
  CHECK(show(Seconds(25h + 10min)) == "1 d 1 h");
  CHECK(show(Seconds(24h + 10min)) == "1 d");
  CHECK(show(Seconds(0)) == "0 min");
}
