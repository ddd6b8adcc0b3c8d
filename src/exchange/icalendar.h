// Events written as iCalendar (RFC 5545), which every phone and desk calendar reads.
//
// Our own writer: Debian's libical pulls in ICU, and a program that links it starts in 32 ms
// instead of 18 (measured), whatever command is called.
//
//   exchange::Calendar calendar{"Europe/London", made, 214, {}};
//   calendar.events.push_back({.uid = "26-014-coat-2@…", .summary = "26-014: coat 2 of 3", ...});
//   write_file_whole(path, exchange::icalendar(calendar, Zone("Europe/London")));
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/time.h"
#include "domain/zone.h"

namespace trencher::exchange {

// Every file of ours begins so: this tells one from a calendar of somebody else's.
inline constexpr std::string_view icalendar_head =
    "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Trencher//Trencher//EN\r\n";

struct CalendarAlarm {
  Seconds from_start;  // before the start where negative; of a whole day: from its midnight
  std::string text;
};

enum class EventStatus { tentative, confirmed, cancelled };

struct CalendarEvent {
  std::string uid;  // the same for ever: it tells an event that is new from one that has changed
  EventStatus status = EventStatus::confirmed;
  std::string summary, description;  // lines end in \n
  std::optional<Day> day;            // the whole day; absent: `start` and `length` count
  Instant start{};
  Seconds length{0};
  bool busy = true;  // takes the owner's time
  std::vector<CalendarAlarm> alarms{};
};

struct Calendar {
  std::string zone;           // the IANA name
  Instant made;               // when the file was
  std::int64_t sequence = 0;  // greater in every later state of the same events
  std::vector<CalendarEvent> events{};
};

// The whole file. Times stand in the zone, whose changes of the clocks come with it; an hour that
// happens twice, which local time cannot tell apart, stands in UTC. REQUIRES: `zone` is that of the
// calendar's name, texts are UTF-8. Control characters are left out.
std::string icalendar(const Calendar& calendar, const Zone& zone);

// A value of type TEXT (section 3.3.11): backslash, semicolon, comma and line end escaped.
std::string icalendar_text(std::string_view value);
// NAME:VALUE in lines of at most 75 octets that end in CR LF (section 3.1), broken between letters.
std::string icalendar_line(std::string_view name, std::string_view value);
// A length of time (section 3.3.6) in hours, minutes and seconds: "-PT39H".
std::string icalendar_duration(Seconds length);

}  // namespace trencher::exchange
