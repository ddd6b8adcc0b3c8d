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

// -1: not two digits.
int two_digits(const char* at) {
  const int tens = at[0] - '0', ones = at[1] - '0';
  return tens < 0 || tens > 9 || ones < 0 || ones > 9 ? -1 : tens * 10 + ones;
}

constexpr std::array weekdays{"Sun", "Mon", "Tue", "Wed", "Thu", "Fri", "Sat"};
constexpr std::array months{"Jan", "Feb", "Mar", "Apr", "May", "Jun",
                            "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"};

void put_two(char* at, unsigned value) {
  at[0] = static_cast<char>('0' + value / 10);
  at[1] = static_cast<char>('0' + value % 10);
}

// Ten bytes. REQUIRES: a year of four digits.
void put_day(char* at, Day day) {
  const int year = int(day.year());
  put_two(at, static_cast<unsigned>(year / 100));
  put_two(at + 2, static_cast<unsigned>(year % 100));
  at[4] = at[7] = '-';
  put_two(at + 5, unsigned(day.month()));
  put_two(at + 8, unsigned(day.day()));
}

bool has_four_digits(Day day) { return int(day.year()) >= 0 && int(day.year()) <= 9999; }

// By hand: a book writes two of these for each entry. `end` goes behind, if it is any character.
std::string clock_and_day(sys_seconds local, char end = '\0') {
  const Fields f = fields_of(local);
  std::array<char, 20> out;
  put_two(&out[11], static_cast<unsigned>(f.clock.hours().count()));
  put_two(&out[14], static_cast<unsigned>(f.clock.minutes().count()));
  put_two(&out[17], static_cast<unsigned>(f.clock.seconds().count()));
  out[10] = 'T';
  out[13] = out[16] = ':';
  out[19] = end;
  const std::size_t size = end ? 20 : 19;
  if (!has_four_digits(f.day)) return iso(f.day).append(&out[10], size - 10);
  put_day(out.data(), f.day);
  return {out.data(), size};
}

}  // namespace

std::string iso(Day day) {
  if (!has_four_digits(day))
    return fmt::format("{:04}-{:02}-{:02}", int(day.year()), unsigned(day.month()),
                       unsigned(day.day()));
  std::array<char, 10> out;
  put_day(out.data(), day);
  return {out.data(), out.size()};
}

std::string iso(Instant at) { return clock_and_day(at, 'Z'); }

std::string iso(const Moment& at) {
  const int size = std::abs(at.offset_minutes);
  return fmt::format("{}{}{:02}:{:02}", clock_and_day(at.at + minutes(at.offset_minutes)),
                     at.offset_minutes < 0 ? '-' : '+', size / 60, size % 60);
}

std::optional<Day> day_from_iso(std::string_view text) {
  if (text.size() != 10 || text[4] != '-' || text[7] != '-') return {};
  const int century = two_digits(&text[0]), y = two_digits(&text[2]), m = two_digits(&text[5]),
            d = two_digits(&text[8]);
  if (century < 0 || y < 0 || m < 0 || d < 0) return {};
  const Day day{year(century * 100 + y), month(static_cast<unsigned>(m)),
                std::chrono::day(static_cast<unsigned>(d))};
  return day.ok() ? std::optional(day) : std::nullopt;
}

Instant instant_from_iso(std::string_view text) {
  const auto day = text.size() == 20 ? day_from_iso(text.substr(0, 10)) : std::nullopt;
  if (day && text[10] == 'T' && text[13] == ':' && text[16] == ':' && text[19] == 'Z') {
    const int h = two_digits(&text[11]), m = two_digits(&text[14]), s = two_digits(&text[17]);
    if (h >= 0 && h < 24 && m >= 0 && m < 60 && s >= 0 && s < 60)
      return sys_days(*day) + hours(h) + minutes(m) + seconds(s);
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
