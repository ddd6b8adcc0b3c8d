#include "domain/hours.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>
#include <optional>
#include <tuple>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher {
namespace {

constexpr std::array<std::string_view, 7> day_names{"Monday", "Tuesday",  "Wednesday", "Thursday",
                                                    "Friday", "Saturday", "Sunday"};
constexpr int day_minutes = 24 * 60;

std::string short_name(int day) {
  return std::string(day_names[static_cast<std::size_t>(day - 1)].substr(0, 3));
}

std::string lower(std::string_view text) {
  std::string out(text);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

// "mon", "Tues", "saturday": 1 to 7; else 0.
int day_of(std::string_view word) {
  if (word.size() < 3) return 0;
  for (std::size_t i = 0; i < day_names.size(); ++i)
    if (lower(day_names[i]).starts_with(lower(word))) return static_cast<int>(i) + 1;
  return 0;
}

std::optional<std::vector<int>> days_of(std::string_view word) {
  const auto dash = word.find('-');
  const int first = day_of(word.substr(0, dash));
  const int last = dash == std::string_view::npos ? first : day_of(word.substr(dash + 1));
  if (first == 0 || last == 0) return {};
  std::vector<int> out{first};
  for (int day = first; day != last;) {
    day = day % 7 + 1;
    out.push_back(day);
  }
  return out;
}

// "19:00", "9", "7pm", "12:30am", "24:00": minutes of the day.
std::optional<int> clock_of(std::string_view word) {
  const bool am = word.ends_with("am"), pm = word.ends_with("pm");
  if (am || pm) word.remove_suffix(2);
  const auto number = [&](std::string_view digits, std::size_t most) -> std::optional<int> {
    int value = 0;
    const char* last = digits.data() + digits.size();
    const auto [end, error] = std::from_chars(digits.data(), last, value);
    if (digits.empty() || digits.size() > most || digits.front() == '-' || error != std::errc() ||
        end != last)
      return {};
    return value;
  };
  const auto colon = word.find(':');
  auto hour = number(word.substr(0, colon), 2);
  const auto minute = colon == std::string_view::npos ? std::optional(0)
                      : word.size() == colon + 3      ? number(word.substr(colon + 1), 2)
                                                      : std::nullopt;
  if (!hour || !minute || *minute > 59) return {};
  if (am || pm) {
    if (*hour < 1 || *hour > 12) return {};
    hour = *hour % 12 + (pm ? 12 : 0);
  }
  const int out = *hour * 60 + *minute;
  return out <= day_minutes ? std::optional(out) : std::nullopt;
}

std::optional<std::pair<int, int>> times_of(const std::string& word) {
  const auto dash = word.find('-');
  if (dash == std::string::npos) return {};
  const auto from = clock_of(std::string_view(word).substr(0, dash));
  const auto until = clock_of(std::string_view(word).substr(dash + 1));
  if (!from || !until) return {};
  return std::pair(*from, *until);
}

std::string show_times(const DayHours& hours) {
  return show_clock(hours.from) + "-" + show_clock(hours.until);
}

}  // namespace

std::string show_clock(int minute_of_day) {
  return fmt::format("{}:{:02}", minute_of_day / 60, minute_of_day % 60);
}

std::vector<DayHours> parse_hours(std::string_view text, std::string_view what) {
  const auto refuse = [&](const std::string& fault) {
    return Error::request(
        fmt::format("{} '{}': {}; write them as mon-fri 19:00-21:30, sat "
                    "9:00-17:00.",
                    what, text, fault));
  };
  std::string spaced(text);
  std::replace(spaced.begin(), spaced.end(), ',', ' ');
  std::vector<DayHours> out;
  std::vector<int> days;
  bool timed = false;
  for (std::size_t at = 0; at < spaced.size();) {
    const auto end = std::min(spaced.find(' ', at), spaced.size());
    const std::string word = lower(spaced.substr(at, end - at));
    at = end + 1;
    if (word.empty()) continue;
    if (const auto named = days_of(word)) {
      if (timed) days.clear();
      timed = false;
      days.insert(days.end(), named->begin(), named->end());
      continue;
    }
    const auto times = times_of(word);
    if (!times) throw refuse(fmt::format("'{}' is neither days nor hours", word));
    if (days.empty()) throw refuse(fmt::format("no day stands before '{}'", word));
    if (times->second <= times->first)
      throw refuse(
          fmt::format("'{}' ends before it begins (past midnight it is the next day's)", word));
    for (const int day : days) out.push_back({day, times->first, times->second});
    timed = true;
  }
  if (!timed) throw refuse(days.empty() ? "it names no hours" : "no hours stand behind the days");
  std::sort(out.begin(), out.end(), [](const DayHours& a, const DayHours& b) {
    return std::tie(a.day, a.from, a.until) < std::tie(b.day, b.from, b.until);
  });
  std::vector<DayHours> apart;
  for (const DayHours& hours : out) {
    if (!apart.empty() && apart.back().day == hours.day) {
      if (hours.from < apart.back().until)
        throw refuse(fmt::format("on {} {} and {} overlap",
                                 day_names[static_cast<std::size_t>(hours.day - 1)],
                                 show_times(apart.back()), show_times(hours)));
      if (hours.from == apart.back().until) {
        apart.back().until = hours.until;
        continue;
      }
    }
    apart.push_back(hours);
  }
  return apart;
}

std::string show(const std::vector<DayHours>& hours) {
  // Days that have the same hours, one after the other, are shown as one stretch.
  std::array<std::vector<std::string>, 8> by_day;
  for (const DayHours& of : hours)
    by_day[static_cast<std::size_t>(of.day)].push_back(show_times(of));
  std::vector<std::string> out;
  for (int day = 1; day <= 7;) {
    const auto& times = by_day[static_cast<std::size_t>(day)];
    int last = day;
    while (last < 7 && by_day[static_cast<std::size_t>(last) + 1] == times) ++last;
    if (!times.empty())
      out.push_back(fmt::format("{}{} {}", short_name(day),
                                last > day ? "-" + short_name(last) : "", join(times, " ")));
    day = last + 1;
  }
  return join(out, ", ");
}

Json to_json(const std::vector<DayHours>& hours) {
  Json out = Json::array();
  for (const DayHours& of : hours)
    out.push(Json::object().set("day", of.day).set("from", of.from).set("until", of.until));
  return out;
}

std::vector<DayHours> hours_from_json(const Json& json) {
  std::vector<DayHours> out;
  for (const Json& item : json.items())
    out.push_back({static_cast<int>(item.integer("day")), static_cast<int>(item.integer("from")),
                   static_cast<int>(item.integer("until"))});
  return out;
}

}  // namespace trencher
