#include "exchange/icalendar.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

#include "domain/text.h"

namespace trencher::exchange {
namespace {

constexpr std::size_t longest_line = 75;  // octets, without the line end
// Later dates of the same zone may be read with the definition that came first.
constexpr Seconds beyond_last = std::chrono::days(366);

std::string basic(Day day) {
  return fmt::format("{:04}{:02}{:02}", static_cast<int>(day.year()),
                     static_cast<unsigned>(day.month()), static_cast<unsigned>(day.day()));
}

// `wall` counts the seconds that a clock on the wall shows.
std::string basic(std::chrono::sys_seconds wall) {
  const auto midnight = std::chrono::floor<std::chrono::days>(wall);
  const std::chrono::hh_mm_ss clock(wall - midnight);
  return fmt::format("{}T{:02}{:02}{:02}", basic(Day(midnight)), clock.hours().count(),
                     clock.minutes().count(), clock.seconds().count());
}

std::string utc(Instant at) { return basic(at) + "Z"; }

std::string offset_text(Seconds offset) {
  const std::chrono::hh_mm_ss parts(std::chrono::abs(offset));
  std::string out = fmt::format("{}{:02}{:02}", offset < Seconds(0) ? '-' : '+',
                                parts.hours().count(), parts.minutes().count());
  if (parts.seconds().count() != 0) out += fmt::format("{:02}", parts.seconds().count());
  return out;
}

class Writer {
 public:
  Writer(const Calendar& calendar, const Zone& zone) : calendar_(calendar), zone_(zone) {}

  std::string all() {
    out_ = icalendar_head;
    add_zone();
    for (const CalendarEvent& event : calendar_.events) add(event);
    line("END", "VCALENDAR");
    return std::move(out_);
  }

 private:
  void line(std::string_view name, std::string_view value) { out_ += icalendar_line(name, value); }
  void text(std::string_view name, std::string_view value) { line(name, icalendar_text(value)); }

  void add_zone() {
    Instant first = calendar_.made, last = calendar_.made;
    for (const CalendarEvent& event : calendar_.events) {
      const Instant start = event.day ? zone_.at(*event.day) : event.start;
      first = std::min(first, start);
      last = std::max(last, start + event.length);
    }
    line("BEGIN", "VTIMEZONE");
    text("TZID", calendar_.zone);
    for (const ZoneSpan& span : zone_.spans(first, last + beyond_last)) add(span);
    line("END", "VTIMEZONE");
  }

  void add(const ZoneSpan& span) {
    // A begin that nothing here lies before may be any early one; calendars know none before 1970.
    const Instant epoch{};
    const bool known = span.begin && *span.begin >= epoch;
    const Seconds before = known ? span.offset_before : span.offset;
    const std::string_view part = span.daylight ? "DAYLIGHT" : "STANDARD";
    line("BEGIN", part);
    line("DTSTART", known ? basic(*span.begin + before) : basic(epoch));
    line("TZOFFSETFROM", offset_text(before));
    line("TZOFFSETTO", offset_text(span.offset));
    text("TZNAME", span.abbreviation);
    line("END", part);
  }

  std::chrono::sys_seconds wall(Instant at) const {
    return at + std::chrono::minutes(zone_.moment(at).offset_minutes);
  }

  // Where the clocks show a time twice, local time means the first of both (section 3.3.5).
  bool is_second(Instant at) const {
    const auto shown = wall(at);
    const auto midnight = std::chrono::floor<std::chrono::days>(shown);
    const auto minutes = std::chrono::floor<std::chrono::minutes>(shown - midnight);
    const Seconds rest = shown - midnight - minutes;
    return zone_.at(Day(midnight), static_cast<int>(minutes.count())) + rest != at;
  }

  void add_times(const CalendarEvent& event) {
    if (event.day) {
      line("DTSTART;VALUE=DATE", basic(*event.day));
      line("DTEND;VALUE=DATE",
           basic(Day(std::chrono::sys_days(*event.day) + std::chrono::days(1))));
      return;
    }
    const Instant end = event.start + event.length;
    const bool as_utc = is_second(event.start) || is_second(end);
    for (const auto& [name, at] : {std::pair{"DTSTART", event.start}, {"DTEND", end}})
      if (as_utc)
        line(name, utc(at));
      else
        line(fmt::format("{};TZID={}", name, calendar_.zone), basic(wall(at)));
  }

  void add(const CalendarEvent& event) {
    static constexpr std::string_view statuses[]{"TENTATIVE", "CONFIRMED", "CANCELLED"};
    line("BEGIN", "VEVENT");
    text("UID", event.uid);
    line("DTSTAMP", utc(calendar_.made));
    line("LAST-MODIFIED", utc(calendar_.made));
    line("SEQUENCE", std::to_string(calendar_.sequence));
    add_times(event);
    line("STATUS", statuses[static_cast<int>(event.status)]);
    line("TRANSP", event.busy ? "OPAQUE" : "TRANSPARENT");
    text("SUMMARY", event.summary);
    if (!event.description.empty()) text("DESCRIPTION", event.description);
    for (const CalendarAlarm& alarm : event.alarms) {
      line("BEGIN", "VALARM");
      line("ACTION", "DISPLAY");
      line("TRIGGER", icalendar_duration(alarm.from_start));
      text("DESCRIPTION", alarm.text);
      line("END", "VALARM");
    }
    line("END", "VEVENT");
  }

  const Calendar& calendar_;
  const Zone& zone_;
  std::string out_;
};

bool begins_letter(char byte) { return (static_cast<unsigned char>(byte) & 0xC0U) != 0x80U; }

}  // namespace

std::string icalendar(const Calendar& calendar, const Zone& zone) {
  return Writer(calendar, zone).all();
}

std::string icalendar_text(std::string_view value) {
  std::string out;
  while (true) {
    const std::size_t end = std::min(value.find('\n'), value.size());
    for (const char c : shown(value.substr(0, end))) {
      if (c == '\\' || c == ';' || c == ',') out += '\\';
      out += c;
    }
    if (end == value.size()) return out;
    out += "\\n";
    value.remove_prefix(end + 1);
  }
}

std::string icalendar_line(std::string_view name, std::string_view value) {
  const std::string whole = fmt::format("{}:{}", name, value);
  std::string out;
  for (std::size_t at = 0; at < whole.size();) {
    // A blank begins each further line and counts for its length.
    const std::size_t room = longest_line - (at > 0 ? 1 : 0);
    std::size_t end = std::min(whole.size(), at + room);
    while (end < whole.size() && end > at + 1 && !begins_letter(whole[end])) --end;
    if (at > 0) out += ' ';
    out.append(whole, at, end - at);
    out += "\r\n";
    at = end;
  }
  return out;
}

std::string icalendar_duration(Seconds length) {
  const std::chrono::hh_mm_ss parts(std::chrono::abs(length));
  std::string out = length < Seconds(0) ? "-PT" : "PT";
  if (parts.hours().count() != 0) out += fmt::format("{}H", parts.hours().count());
  // Minutes must not be left out between the two.
  const bool between = parts.hours().count() != 0 && parts.seconds().count() != 0;
  if (parts.minutes().count() != 0 || between) out += fmt::format("{}M", parts.minutes().count());
  if (parts.seconds().count() != 0 || length == Seconds(0))
    out += fmt::format("{}S", parts.seconds().count());
  return out;
}

}  // namespace trencher::exchange
