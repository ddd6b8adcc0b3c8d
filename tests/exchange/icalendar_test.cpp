// Rules and examples of RFC 5545 by section, from memory. tests/calendar_test.py reads whole files
// back with another program.
#include "exchange/icalendar.h"

#include <algorithm>
#include <catch2/catch.hpp>

using namespace trencher;
using exchange::Calendar;
using exchange::CalendarEvent;
using exchange::EventStatus;
using exchange::icalendar;
using exchange::icalendar_duration;
using exchange::icalendar_line;
using exchange::icalendar_text;

namespace {

std::vector<std::string> lines_of(std::string_view text) {
  std::vector<std::string> out;
  while (!text.empty()) {
    const auto end = text.find("\r\n");
    REQUIRE(end != std::string_view::npos);
    out.emplace_back(text.substr(0, end));
    text.remove_prefix(end + 2);
  }
  return out;
}

// Section 3.1: a line end with a blank behind it is taken out.
std::string unfolded(const std::string& text) {
  std::string out;
  for (const std::string& line : lines_of(text))
    out += line.starts_with(' ') ? line.substr(1) : line;
  return out;
}

bool is_whole(std::string_view line) {  // no letter of UTF-8 is cut
  return line.empty() || (static_cast<unsigned char>(line.front()) & 0xC0U) != 0x80U;
}

Instant at(const char* text) { return instant_from_iso(text); }

std::vector<std::string> file_with(const char* zone, const CalendarEvent& event,
                                   const char* made = "2026-01-05T08:00:00Z") {
  return lines_of(icalendar(Calendar{zone, at(made), 41, {event}}, Zone(zone)));
}

CalendarEvent timed(const char* start, std::int64_t minutes = 15) {
  CalendarEvent event;
  event.uid = "26-014-coat-2@0011";
  event.summary = "26-014: coat 2 of 3";
  event.start = at(start);
  event.length = std::chrono::minutes(minutes);
  return event;
}

// The lines from the one that is `first` on.
std::vector<std::string> from(const std::vector<std::string>& lines, const std::string& first,
                              std::size_t count) {
  const auto found = std::find(lines.begin(), lines.end(), first);
  REQUIRE(static_cast<std::size_t>(lines.end() - found) >= count);
  return {found, found + static_cast<std::ptrdiff_t>(count)};
}

using Lines = std::vector<std::string>;

}  // namespace

TEST_CASE("icalendar: a line of 75 octets is whole and the next octet begins another") {
  const std::string filled(75 - 8, 'x');
  CHECK(icalendar_line("SUMMARY", filled) == "SUMMARY:" + filled + "\r\n");
  CHECK(icalendar_line("SUMMARY", filled + "yz") == "SUMMARY:" + filled + "\r\n yz\r\n");
  CHECK(icalendar_line("SUMMARY", "") == "SUMMARY:\r\n");
}

TEST_CASE("icalendar: a further line holds 74 octets behind its blank") {
  const auto lines = lines_of(icalendar_line("X", std::string(73 + 74 + 74 + 1, 'x')));
  REQUIRE(lines.size() == 4);
  CHECK(lines[0].size() == 75);
  CHECK(lines[1] == " " + std::string(74, 'x'));
  CHECK(lines[2] == " " + std::string(74, 'x'));
  CHECK(lines[3] == " x");
}

TEST_CASE("icalendar: no letter is cut wherever the fold falls") {
  for (const std::string letter : {"é", "漢", "🌳"})
    for (std::size_t lead = 0; lead < 80; ++lead) {
      std::string value(lead, 'x');
      for (int i = 0; i < 60; ++i) value += letter;
      const std::string text = icalendar_line("N", value);
      CHECK(unfolded(text) == "N:" + value);
      for (const std::string& line : lines_of(text)) {
        CHECK(line.size() <= 75);
        CHECK(is_whole(line.starts_with(' ') ? std::string_view(line).substr(1) : line));
      }
    }
}

TEST_CASE("icalendar: signs with a meaning are escaped") {  // section 3.3.11
  CHECK(icalendar_text("Project XYZ Final Review\nConference Room - 3B\nCome Prepared.") ==
        "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.");
  CHECK(icalendar_text("a,b;c\\d:e\"f") == "a\\,b\\;c\\\\d:e\"f");
  CHECK(icalendar_text("\\n") == "\\\\n");
}

TEST_CASE("icalendar: control characters and direction marks are shown as a sign") {
  CHECK(icalendar_text("a\r\nb\tc\x01"
                       "d\x7F"
                       "e\xC2\x85"
                       "f\u202Eg\xE9") == "a\uFFFD\\nb\uFFFDc\uFFFDd\uFFFDe\uFFFDf\uFFFDg\uFFFD");
  CHECK(icalendar_text("\xC2\xA0\xC3\x85") == "\xC2\xA0\xC3\x85");  // no control characters
  CHECK(icalendar_text(std::string_view("x\0y", 3)) == "x\uFFFDy");
}

TEST_CASE("icalendar: lengths of time are hours and minutes and seconds") {  // section 3.3.6
  CHECK(icalendar_duration(Seconds(0)) == "PT0S");
  CHECK(icalendar_duration(std::chrono::minutes(-15)) == "-PT15M");
  CHECK(icalendar_duration(std::chrono::hours(-39)) == "-PT39H");
  CHECK(icalendar_duration(Seconds(3600 + 120 + 3)) == "PT1H2M3S");
  CHECK(icalendar_duration(Seconds(3603)) == "PT1H0M3S");  // hours are not followed by seconds
}

TEST_CASE("icalendar: a timed event stands in its zone") {
  const auto lines = file_with("Europe/London", timed("2026-07-05T13:30:00Z", 45));
  CHECK(lines[0] == "BEGIN:VCALENDAR");
  CHECK(from(lines, "BEGIN:VEVENT", 11) ==
        Lines{"BEGIN:VEVENT", "UID:26-014-coat-2@0011", "DTSTAMP:20260105T080000Z",
              "LAST-MODIFIED:20260105T080000Z", "SEQUENCE:41",
              "DTSTART;TZID=Europe/London:20260705T143000",
              "DTEND;TZID=Europe/London:20260705T151500", "STATUS:CONFIRMED", "TRANSP:OPAQUE",
              "SUMMARY:26-014: coat 2 of 3", "END:VEVENT"});
  CHECK(lines.back() == "END:VCALENDAR");
}

TEST_CASE("icalendar: a whole day ends with the next") {
  CalendarEvent event;
  event.uid = "u";
  event.day = Day{std::chrono::year(2026) / 12 / 31};
  event.status = EventStatus::tentative;
  event.busy = false;
  event.alarms = {{std::chrono::hours(-39), "two days before"}};
  const auto lines = file_with("Europe/London", event);
  CHECK(from(lines, "DTSTART;VALUE=DATE:20261231", 10) ==
        Lines{"DTSTART;VALUE=DATE:20261231", "DTEND;VALUE=DATE:20270101", "STATUS:TENTATIVE",
              "TRANSP:TRANSPARENT", "SUMMARY:", "BEGIN:VALARM", "ACTION:DISPLAY", "TRIGGER:-PT39H",
              "DESCRIPTION:two days before", "END:VALARM"});
}

TEST_CASE("icalendar: a time that the clocks show twice is told by UTC") {
  // London's clocks go back at 01:00 UTC on 25 October 2026.
  const auto times = [](const char* start) {
    const auto lines = file_with("Europe/London", timed(start));
    return Lines{from(lines, "SEQUENCE:41", 3)[1], from(lines, "SEQUENCE:41", 3)[2]};
  };
  CHECK(times("2026-10-25T00:30:00Z") == Lines{"DTSTART;TZID=Europe/London:20261025T013000",
                                               "DTEND;TZID=Europe/London:20261025T014500"});
  CHECK(times("2026-10-25T01:30:00Z") ==
        Lines{"DTSTART:20261025T013000Z", "DTEND:20261025T014500Z"});
  // One that ends in the second hour.
  CHECK(times("2026-10-25T00:50:00Z") ==
        Lines{"DTSTART:20261025T005000Z", "DTEND:20261025T010500Z"});
  CHECK(times("2026-10-25T02:00:00Z") == Lines{"DTSTART;TZID=Europe/London:20261025T020000",
                                               "DTEND;TZID=Europe/London:20261025T021500"});
}

TEST_CASE("icalendar: the changes of the clocks come with the file") {
  // The changes as zdump -v has them; the layout is that of the examples in section 3.6.5.
  const auto lines = file_with("America/New_York", timed("2026-06-01T12:00:00Z"));
  CHECK(from(lines, "BEGIN:VTIMEZONE", 14) ==
        Lines{"BEGIN:VTIMEZONE", "TZID:America/New_York", "BEGIN:STANDARD",
              "DTSTART:20251102T020000", "TZOFFSETFROM:-0400", "TZOFFSETTO:-0500", "TZNAME:EST",
              "END:STANDARD", "BEGIN:DAYLIGHT", "DTSTART:20260308T020000", "TZOFFSETFROM:-0500",
              "TZOFFSETTO:-0400", "TZNAME:EDT", "END:DAYLIGHT"});
}

TEST_CASE("icalendar: a zone without changes has one definition") {
  const auto lines = file_with("UTC", timed("2026-06-01T12:00:00Z"));
  CHECK(from(lines, "BEGIN:VTIMEZONE", 9) == Lines{"BEGIN:VTIMEZONE", "TZID:UTC", "BEGIN:STANDARD",
                                                   "DTSTART:19700101T000000", "TZOFFSETFROM:+0000",
                                                   "TZOFFSETTO:+0000", "TZNAME:UTC", "END:STANDARD",
                                                   "END:VTIMEZONE"});
  // Kolkata's last change was in 1945.
  const auto india = file_with("Asia/Kolkata", timed("2026-06-01T12:00:00Z"));
  CHECK(from(india, "BEGIN:STANDARD", 7)[1] == "DTSTART:19700101T000000");
  CHECK(from(india, "DTSTART;TZID=Asia/Kolkata:20260601T173000", 1).size() == 1);
}
