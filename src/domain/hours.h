// When the maker is in the shop: hours by the day of the week, in minutes of the local day.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "domain/json.h"

namespace trencher {

struct DayHours {
  int day = 1;  // ISO 8601: Monday 1 to Sunday 7
  int from = 0, until = 0;
  bool operator==(const DayHours&) const = default;
};

// "mon-fri 19:00-21:30, sat 9:00-17:00", "sat sun 9-12 13-17", "mon 7pm-9:30pm": by day, then by
// time; hours that touch become one. Error::request naming `what` for what is not understood, ends
// before it begins, or overlaps.
std::vector<DayHours> parse_hours(std::string_view text, std::string_view what);
std::string show(const std::vector<DayHours>& hours);  // "Mon-Fri 19:00-21:30, Sat 9:00-17:00"
std::string show_clock(int minute_of_day);             // "19:00"

Json to_json(const std::vector<DayHours>& hours);
std::vector<DayHours> hours_from_json(const Json& json);

}  // namespace trencher
