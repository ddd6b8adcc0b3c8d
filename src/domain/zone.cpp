#include "domain/zone.h"

#include <date/tz.h>
#include <fmt/format.h>

#include <charconv>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher {
namespace {

std::optional<std::chrono::seconds> clock_from(std::string_view text) {
  const auto pair = [&](std::size_t at, int limit) -> std::optional<int> {
    int value = 0;
    const char* first = text.data() + at;
    const auto [end, error] = std::from_chars(first, first + 2, value);
    if (error != std::errc() || end != first + 2 || value < 0 || value >= limit) return {};
    return value;
  };
  if ((text.size() != 5 && text.size() != 8) || text[2] != ':') return {};
  const auto h = pair(0, 24), m = pair(3, 60);
  const auto s = text.size() == 8 ? (text[5] == ':' ? pair(6, 60) : std::nullopt) : 0;
  if (!h || !m || !s) return {};
  return std::chrono::hours(*h) + std::chrono::minutes(*m) + std::chrono::seconds(*s);
}

// "+01:00", "-05:30", "Z": minutes.
std::optional<int> offset_from(std::string_view text) {
  if (text == "Z" || text == "z") return 0;
  if (text.size() != 6 || (text[0] != '+' && text[0] != '-')) return {};
  const auto clock = clock_from(text.substr(1));
  if (!clock || *clock > std::chrono::hours(14)) return {};
  const int size = static_cast<int>(clock->count() / 60);
  return text[0] == '-' ? -size : size;
}

Error not_a_time(std::string_view text, std::string_view what) {
  return Error::request(fmt::format(
      "{} '{}' is no time that is understood; write 2026-12-05 14:30, yesterday 18:00 or 2h ago.",
      what, text));
}

// The book writes a year in four digits; and what is older was typed wrong.
Instant writable(Instant at, std::string_view text, std::string_view what) {
  using namespace std::chrono;
  if (at < sys_days(year(1900) / 1 / 1) || at >= sys_days(year(9999) / 12 / 31))
    throw Error::request(
        fmt::format("{} '{}' lies outside the years 1900 to 9999; is it typed right?", what, text));
  return at;
}

}  // namespace

Zone::Zone(std::string_view name) {
  try {
    zone_ = date::locate_zone(std::string(name));
  } catch (const std::runtime_error&) {
    std::vector<std::string> known;
    for (const auto& zone : date::get_tzdb().zones) known.push_back(zone.name());
    throw Error::request(
        fmt::format("Zone '{}' is not in the zone database, which has names such as "
                    "Europe/London.{}",
                    name, suggestion(name, known)));
  }
}

Moment Zone::moment(Instant at) const {
  const date::sys_info info = zone_->get_info(at);
  return {at, static_cast<int>(std::chrono::floor<std::chrono::minutes>(info.offset).count())};
}

Moment Zone::from_local(std::string_view day_text, std::string_view clock_text,
                        std::string_view text, std::string_view what) const {
  const auto day = day_from_iso(day_text);
  const auto clock = clock_from(clock_text);
  if (!day || !clock) throw not_a_time(text, what);
  const date::local_seconds local{std::chrono::sys_days(*day).time_since_epoch() + *clock};
  const date::local_info info = zone_->get_info(local);
  const auto at = [&](const date::sys_info& part) {
    return moment(writable(Instant(local.time_since_epoch() - part.offset), text, what));
  };
  if (info.result == date::local_info::unique) return at(info.first);
  const Moment first = at(info.first), second = at(info.second);
  // In a gap the earlier reading, by the offset before the change, shows as the later clock time.
  const bool gap = info.result == date::local_info::nonexistent;
  throw Error::request(fmt::format("{} '{}' {} when the clocks change; write {} or {}.", what, text,
                                   gap ? "does not exist: it is skipped" : "happens twice",
                                   iso(first), iso(second)));
}

Moment Zone::parse(std::string_view text, Instant now, std::string_view what) const {
  if (text == "now") return moment(now);
  if (text.ends_with(" ago"))
    return moment(now - parse_duration(text.substr(0, text.size() - 4), what));
  for (const auto& [word, back] :
       {std::pair<std::string_view, int>{"today", 0}, {"yesterday", 1}}) {
    if (!text.starts_with(word)) continue;
    const std::string_view rest = text.substr(word.size());
    const auto today = std::chrono::sys_days(local_day(moment(now)));
    const std::string day = iso(Day(today - std::chrono::days(back)));
    if (!rest.starts_with(' ')) throw not_a_time(text, what);
    return from_local(day, rest.substr(1), text, what);
  }
  if (text.size() == 10) return from_local(text, "12:00", text, what);
  if (text.size() < 16 || (text[10] != ' ' && text[10] != 'T')) throw not_a_time(text, what);
  const std::string_view day = text.substr(0, 10);
  std::string_view clock = text.substr(11);
  const auto zone_at = clock.find_first_of("Zz+-");
  if (zone_at == std::string_view::npos) return from_local(day, clock, text, what);
  const auto date = day_from_iso(day);
  const auto time = clock_from(clock.substr(0, zone_at));
  const auto offset = offset_from(clock.substr(zone_at));
  if (!date || !time || !offset) throw not_a_time(text, what);
  return moment(
      writable(std::chrono::sys_days(*date) + *time - std::chrono::minutes(*offset), text, what));
}

Instant Zone::at(Day day, int minute) const {
  const date::local_seconds local{std::chrono::sys_days(day).time_since_epoch() +
                                  std::chrono::minutes(minute)};
  return zone_->to_sys(local, date::choose::earliest);
}

Day Zone::first_day_from(Instant moment_from) const {
  const auto day = std::chrono::sys_days(local_day(moment(moment_from)));
  const Instant begins = at(day);
  const Instant first = begins >= moment_from ? begins : at(day + std::chrono::days(1));
  // Read back from the moment: a zone that crosses the date line leaves out a whole day.
  return local_day(moment(first));
}

std::vector<ZoneSpan> Zone::spans(Instant from, Instant to) const {
  // Times before or after all changes, which the database gives as thousands of years away.
  const auto is_change = [](date::sys_seconds at) {
    return at > date::sys_days(date::year(1800) / 1 / 1) &&
           at < date::sys_days(date::year(9999) / 1 / 1);
  };
  const auto is_saving = [](const date::sys_info& info) { return info.save.count() != 0; };
  std::vector<ZoneSpan> out;
  for (Instant at = from;;) {
    const date::sys_info info = zone_->get_info(at);
    ZoneSpan span{{}, info.offset, info.offset, info.abbrev, false};
    const auto compare = [&](const date::sys_info& neighbour) {
      if (is_saving(neighbour) != is_saving(info) && info.offset > neighbour.offset)
        span.daylight = true;
    };
    if (is_change(info.begin)) {
      const date::sys_info before = zone_->get_info(info.begin - Seconds(1));
      span.begin = info.begin;
      span.offset_before = before.offset;
      compare(before);
    }
    const bool ends = is_change(info.end);
    if (ends) compare(zone_->get_info(info.end));
    out.push_back(std::move(span));
    if (!ends || info.end > to) return out;
    at = info.end;
  }
}

}  // namespace trencher
