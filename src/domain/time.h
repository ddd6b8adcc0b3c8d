// Moments and days. An Instant is UTC; a Moment also carries the offset that was in force where it
// happened, so that showing the past needs no zone database; a Day is a calendar day without a
// zone.
#pragma once

#include <chrono>
#include <functional>
#include <optional>
#include <string>
#include <string_view>

namespace trencher {

using Instant = std::chrono::sys_seconds;
using Day = std::chrono::year_month_day;
using Seconds = std::chrono::seconds;

struct Moment {
  Instant at;
  int offset_minutes = 0;  // local time minus UTC
  bool operator==(const Moment&) const = default;
};

std::string iso(Instant at);                      // 2026-12-05T14:30:00Z
std::string iso(const Moment& at);                // 2026-12-05T15:30:00+01:00
std::string iso(Day day);                         // 2026-12-05
Instant instant_from_iso(std::string_view text);  // what iso(Instant) writes; else Error::book
std::optional<Day> day_from_iso(std::string_view text);  // exactly YYYY-MM-DD and in the calendar
// A best-before and the like: Error::request naming `what` where it is not a day of the calendar.
Day parse_day(std::string_view text, std::string_view what);

std::string show(const Moment& at);  // Sat 5 Dec 2026 15:30
std::string show(Day day);           // Sat 5 Dec 2026
Day local_day(const Moment& at);

// How a moment is shown where somebody is: the offset in force then. Passed to what must not look
// up zones itself.
using LocalTime = std::function<Moment(Instant)>;
LocalTime at_offset(int minutes);  // the same offset at all times

// "90min", "3h", "2d", "1d 12h", "2w": whole units, added up. Error::request naming `what`.
Seconds parse_duration(std::string_view text, std::string_view what);
std::string show(Seconds length);  // "3 h", "2 d 12 h", "45 min": the two largest units

}  // namespace trencher
