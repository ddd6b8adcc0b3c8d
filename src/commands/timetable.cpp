#include "commands/timetable.h"

#include <fmt/format.h>

#include <algorithm>
#include <chrono>

#include "book/queries.h"
#include "commands/unchanged.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::int64_t most_boards = 9999, most_minutes = 600;
constexpr int most_days = 366;  // that one word may name

const std::vector<std::string>& timed_steps() {
  static const std::vector<std::string> steps{"glue-up", "sand",  "raise-grain",
                                              "coat",    "scuff", "inspect"};
  return steps;
}

bool is_none(const std::vector<std::string>& words) {
  return words == std::vector{std::string("none")};
}

Day next_day(Day day) { return std::chrono::sys_days(day) + std::chrono::days(1); }

// "2026-12-24" or "2026-12-24..2027-01-01".
std::vector<Day> days_of(const std::string& word, const std::string& what) {
  const auto dots = word.find("..");
  const Day first = parse_day(word.substr(0, dots), what);
  const Day last = dots == std::string::npos ? first : parse_day(word.substr(dots + 2), what);
  if (last < first)
    throw Error::request(
        fmt::format("{} '{}' ends before it begins; write the earlier day first.", what, word));
  std::vector<Day> out;
  for (Day day = first; day <= last; day = next_day(day)) {
    out.push_back(day);
    if (out.size() > most_days)
      throw Error::request(
          fmt::format("{} '{}' is more than a year; write it in parts.", what, word));
  }
  return out;
}

Day today(Call& call) { return local_day(call.zone().moment(call.now())); }

// A day that is over must be a slip: nothing can be planned on it any more.
void demand_to_come(Call& call, Day last, const std::string& what) {
  if (last < today(call))
    throw Error::request(
        fmt::format("{} {} is over; today is {}.", what, show(last), show(today(call))));
}

int set_hours(Call& call) {
  std::vector<std::string> words;
  call.words("HOURS", words, "as mon-fri 19:00-21:30, sat 9:00-17:00; or none");
  call.parse();
  call.need(words, "HOURS", "When you are in the shop");
  const auto hours =
      is_none(words) ? std::vector<DayHours>{} : parse_hours(join(words, " "), "Hours");
  return change_workshop(call, [&](Workshop& to) { to.hours = hours; });
}

int set_days_off(Call& call) {
  std::vector<std::string> words;
  call.words("DAYS", words, "2026-12-24, or 2026-12-24..2027-01-01, added to those there; or none");
  call.parse();
  call.need(words, "DAYS", "Which days");
  std::vector<Day> days;
  if (!is_none(words))
    for (const std::string& word : words)
      for (const Day day : days_of(word, "Days off")) days.push_back(day);
  if (!days.empty()) demand_to_come(call, *std::max_element(days.begin(), days.end()), "Day off");
  return change_workshop(call, [&](Workshop& to) {
    if (days.empty()) to.days_off.clear();
    to.days_off.insert(to.days_off.end(), days.begin(), days.end());
    std::sort(to.days_off.begin(), to.days_off.end());
    to.days_off.erase(std::unique(to.days_off.begin(), to.days_off.end()), to.days_off.end());
  });
}

int set_market_days(Call& call) {
  std::vector<std::string> words;
  std::string name;
  call.words("DAYS", words, "2026-12-12, or 2026-12-12..2026-12-13, added to those there; or none");
  call.option("--name", "TEXT", name, "what the market is called, for the wall chart");
  call.parse();
  call.need(words, "DAYS", "Which days");
  if (!name.empty()) name = checked_text(name, "--name", longest_name);
  std::vector<Workshop::MarketDay> days;
  if (!is_none(words))
    for (const std::string& word : words)
      for (const Day day : days_of(word, "Market days")) days.push_back({day, name});
  for (const auto& market : days) demand_to_come(call, market.day, "Market day");
  return change_workshop(call, [&](Workshop& to) {
    if (days.empty()) to.market_days.clear();
    for (const auto& market : days) {
      std::erase_if(to.market_days, [&](const auto& old) { return old.day == market.day; });
      to.market_days.push_back(market);
    }
    std::sort(to.market_days.begin(), to.market_days.end(),
              [](const auto& a, const auto& b) { return a.day < b.day; });
  });
}

int set_rack(Call& call) {
  std::string boards;
  call.word("BOARDS", boards, "how many boards dry on it at once; or none, where room is no limit");
  call.parse();
  call.need(boards, "BOARDS", "How many boards the rack holds");
  std::optional<int> rack;
  if (boards != "none") rack = static_cast<int>(parse_count(boards, "Rack", 1, most_boards));
  return change_workshop(call, [&](Workshop& to) { to.rack = rack; });
}

int set_minutes(Call& call) {
  std::vector<std::string> words;
  call.words("STEP=MINUTES", words,
             "your attention to one board: " + join(timed_steps(), ", ") + "; or none");
  call.parse();
  call.need(words, "STEP=MINUTES", "Which step takes how many minutes a board");
  std::map<std::string, int> minutes;
  if (!is_none(words))
    for (const std::string& word : words) {
      const auto equals = word.find('=');
      const std::string step = word.substr(0, equals);
      Call::check_known(step, "Step", timed_steps());
      if (equals == std::string::npos)
        throw Error::request(fmt::format("Minutes '{}': write them as {}=5.", word, step));
      minutes[step] = static_cast<int>(
          parse_count(word.substr(equals + 1), "Minutes of " + step, 1, most_minutes));
    }
  return change_workshop(call, [&](Workshop& to) {
    if (minutes.empty()) to.minutes.clear();
    for (const auto& [step, count] : minutes) to.minutes[step] = count;
  });
}

// Days that follow one another as one stretch.
template <typename Days, typename Text>
std::string stretches(const Days& days, const Text& text) {
  std::vector<std::string> out;
  for (std::size_t i = 0; i < days.size();) {
    std::size_t last = i;
    while (last + 1 < days.size() && days[last + 1] == next_day(days[last])) ++last;
    out.push_back(text(days[i], days[last]));
    i = last + 1;
  }
  return join(out, ", ");
}

}  // namespace

const std::vector<std::string>& timetable_settings() {
  static const std::vector<std::string> settings{"hours", "days-off", "market-days", "rack",
                                                 "minutes"};
  return settings;
}

int set_timetable(Call& call, const std::string& what) {
  if (what == "hours") return set_hours(call);
  if (what == "days-off") return set_days_off(call);
  if (what == "market-days") return set_market_days(call);
  return what == "rack" ? set_rack(call) : set_minutes(call);
}

int change_workshop(Call& call, const std::function<void(Workshop&)>& apply) {
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const Workshop before = book::workshop(call.book());
  Workshop after = before;
  apply(after);
  Json body = after.body();
  if (body == before.body())
    return unchanged(call, "workshop", "The book says so already; nothing was written.");
  call.annotate(body);
  const std::int64_t entry = writing.append("workshop", body, stamp);
  writing.commit();
  return call.wrote(entry, "workshop", {},
                    fmt::format("The workshop's settings are changed; entry {}.", entry));
}

std::vector<engine::Sitting> sittings_of(Call& call, Instant origin, Day first, Day last) {
  const Workshop& workshop = call.settings();
  std::vector<engine::Sitting> out;
  for (Day day = first; day <= last; day = next_day(day)) {
    const bool off = std::binary_search(workshop.days_off.begin(), workshop.days_off.end(), day);
    const bool market = std::any_of(workshop.market_days.begin(), workshop.market_days.end(),
                                    [&](const auto& of) { return of.day == day; });
    if (off || market) continue;
    const auto weekday = static_cast<int>(std::chrono::weekday(day).iso_encoding());
    for (const DayHours& hours : workshop.hours) {
      if (hours.day != weekday) continue;
      const auto minute = [&](int of_day) {
        return std::chrono::ceil<std::chrono::minutes>(call.zone().at(day, of_day) - origin)
            .count();
      };
      const engine::Sitting sitting{minute(hours.from), minute(hours.until)};
      if (sitting.from >= sitting.until) continue;  // skipped when the clocks change
      if (!out.empty() && out.back().until == sitting.from)
        out.back().until = sitting.until;  // over midnight
      else
        out.push_back(sitting);
    }
  }
  return out;
}

std::string hours_text(const Workshop& workshop) {
  return workshop.hours.empty() ? "not said; 'trencher workshop hours mon-fri 19:00-21:30' does"
                                : show(workshop.hours);
}

std::string days_off_text(Call& call) {
  std::vector<Day> days;
  for (const Day day : call.settings().days_off)
    if (day >= today(call)) days.push_back(day);
  if (days.empty()) return "none to come";
  return stretches(days, [](Day first, Day last) {
    return first == last ? show(first) : show(first) + " to " + show(last);
  });
}

std::string market_days_text(Call& call) {
  std::vector<std::string> days;
  for (const auto& market : call.settings().market_days)
    if (market.day >= today(call))
      days.push_back(show(market.day) + (market.name.empty() ? "" : " " + market.name));
  return days.empty() ? "none to come" : join(days, ", ");
}

std::string rack_text(const Workshop& workshop) {
  return workshop.rack ? count_of(*workshop.rack, "board") : "any number of boards";
}

std::string minutes_text(const Workshop& workshop) {
  std::vector<std::string> each;
  for (const auto& [step, count] : workshop.minutes)
    each.push_back(fmt::format("{} {}", step, count));
  return each.empty() ? "as the way of finishing says, each board" : join(each, ", ") + " a board";
}

}  // namespace trencher::commands
