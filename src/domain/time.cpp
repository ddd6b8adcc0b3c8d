#include "domain/time.h"

#include <fmt/format.h>

#include <array>
#include <charconv>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher {
namespace {

using namespace std::chrono;

struct Fields {
  year_month_day day;
  hh_mm_ss<seconds> clock;
};

Fields fields_of(sys_seconds at) {
  const auto midnight = floor<days>(at);
  return {year_month_day(midnight), hh_mm_ss<seconds>(at - midnight)};
}

std::optional<int> digits(std::string_view text) {
  int value = 0;
  for (const char c : text) {
    if (c < '0' || c > '9') return {};
    value = value * 10 + (c - '0');
  }
  return text.empty() ? std::nullopt : std::optional(value);
}

constexpr std::array weekdays{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
constexpr std::array months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                            "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

// By hand: a book writes two of these for each entry.
std::string clock_and_day(sys_seconds local) {
  const Fields f = fields_of(local);
  std::string out = iso(f.day) + "T00:00:00";
  const auto two = [&](std::size_t from_end, std::int64_t value) {
    out[out.size() - from_end] = static_cast<char>('0' + value / 10);
    out[out.size() - from_end + 1] = static_cast<char>('0' + value % 10);
  };
  two(8, f.clock.hours().count());
  two(5, f.clock.minutes().count());
  two(2, f.clock.seconds().count());
  return out;
}

}  // namespace

std::string iso(Day day) {
  const int year = int(day.year());
  if (year < 1000 || year > 9999)
    return fmt::format("{:04}-{:02}-{:02}", year, unsigned(day.month()), unsigned(day.day()));
  std::string out = "0000-00-00";
  int left = year;
  for (std::size_t at = 4; at > 0; left /= 10) out[--at] = static_cast<char>('0' + left % 10);
  const auto two = [&](std::size_t at, unsigned value) {
    out[at] = static_cast<char>('0' + value / 10);
    out[at + 1] = static_cast<char>('0' + value % 10);
  };
  two(5, unsigned(day.month()));
  two(8, unsigned(day.day()));
  return out;
}

std::string iso(Instant at) { return clock_and_day(at) + "Z"; }

std::string iso(const Moment& at) {
  const int size = std::abs(at.offset_minutes);
  return fmt::format("{}{}{:02}:{:02}", clock_and_day(at.at + minutes(at.offset_minutes)),
                     at.offset_minutes < 0 ? '-' : '+', size / 60, size % 60);
}

std::optional<Day> day_from_iso(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return {};
  const auto y = digits(text.substr(0, 4)), m = digits(text.substr(5, 2)),
             d = digits(text.substr(8, 2));
  if (!y || !m || !d) return {};
  const Day day{year(*y), month(unsigned(*m)), std::chrono::day(unsigned(*d))};
  return day.ok() ? std::optional(day) : std::nullopt;
}

Instant instant_from_iso(std::string_view text) {
  const auto day = text.size() == 20 ? day_from_iso(text.substr(0, 10)) : std::nullopt;
  if (day && text[10] == 'T' && text[13] == ':' && text[16] == ':' && text[19] == 'Z') {
    const auto h = digits(text.substr(11, 2)), m = digits(text.substr(14, 2)),
               s = digits(text.substr(17, 2));
    if (h && m && s && *h < 24 && *m < 60 && *s < 60)
      return sys_days(*day) + hours(*h) + minutes(*m) + seconds(*s);
  }
  throw Error::book(fmt::format("'{}' is not a time of the form 2026-12-05T14:30:00Z.", text));
}

Day parse_day(std::string_view text, std::string_view what) {
  if (const auto day = day_from_iso(text)) return *day;
  throw Error::request(fmt::format(
      "{} '{}' is no day of the calendar; write year-month-day, as 2026-12-05.", what, text));
}

std::string show(Day day) {
  return fmt::format("{} {} {} {}", weekdays[weekday(sys_days(day)).c_encoding()],
                     unsigned(day.day()), months[unsigned(day.month()) - 1], int(day.year()));
}

std::string show(const Moment& at) {
  const Fields f = fields_of(at.at + minutes(at.offset_minutes));
  return fmt::format("{} {:02}:{:02}", show(f.day), f.clock.hours().count(),
                     f.clock.minutes().count());
}

LocalTime at_offset(int minutes) {
  return [minutes](Instant at) { return Moment{at, minutes}; };
}

Day local_day(const Moment& at) { return fields_of(at.at + minutes(at.offset_minutes)).day; }

Seconds parse_duration(std::string_view text, std::string_view what) {
  static constexpr std::array<std::pair<std::string_view, std::int64_t>, 5> units{
      {{"s", 1}, {"min", 60}, {"h", 3600}, {"d", 86400}, {"w", 604800}}};
  const auto refuse = [&]() -> Error {
    return Error::request(fmt::format(
        "{} '{}' is no length of time; write a whole number with min, h, d or w, as 36h or 2d.",
        what, text));
  };
  std::int64_t total = 0;
  std::string_view rest = text;
  if (rest.empty()) throw refuse();
  while (!rest.empty()) {
    std::int64_t count = 0;
    const auto [end, error] = std::from_chars(rest.data(), rest.data() + rest.size(), count);
    if (error != std::errc() || rest.front() == '-') throw refuse();
    rest.remove_prefix(static_cast<std::size_t>(end - rest.data()));
    while (rest.starts_with(' ')) rest.remove_prefix(1);
    const auto length = std::min(rest.find_first_not_of("abcdefghijklmnopqrstuvwxyz"), rest.size());
    const std::string_view unit = rest.substr(0, length);
    std::int64_t size = 0;
    for (const auto& [name, value] : units)
      if (name == unit) size = value;
    if (size == 0 || count > 20'000'000'000 / size) throw refuse();
    total += count * size;
    rest.remove_prefix(length);
    while (rest.starts_with(' ')) rest.remove_prefix(1);
  }
  if (total > 100 * std::int64_t{366} * 86400)
    throw Error::request(fmt::format("{} '{}' is longer than a hundred years.", what, text));
  return Seconds(total);
}

std::string show(Seconds length) {
  static constexpr std::array<std::pair<std::int64_t, std::string_view>, 4> units{
      {{86400, "d"}, {3600, "h"}, {60, "min"}, {1, "s"}}};
  std::int64_t rest = length.count();
  std::vector<std::string> parts;
  for (std::size_t i = 0; i < units.size() && parts.size() < 2; ++i) {
    const auto [size, name] = units[i];
    const std::int64_t count = rest / size;
    if (count > 0)
      parts.push_back(fmt::format("{} {}", count, name));
    else if (!parts.empty())
      break;
    rest -= count * size;
  }
  return parts.empty() ? "0 min" : join(parts, " ");
}

}  // namespace trencher
