#include "domain/zone.h"

#include <absl/time/time.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <charconv>
#include <cstdlib>
#include <ctime>
#include <filesystem>
#include <fstream>
#include <mutex>

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

absl::Time time_of(Instant at) { return absl::FromUnixSeconds(at.time_since_epoch().count()); }

Instant instant_of(absl::Time at) { return Instant(Seconds(absl::ToUnixSeconds(at))); }

// What a clock on the wall shows; more than a day runs into the next.
absl::CivilSecond clock_face(Day day, Seconds clock) {
  return absl::CivilSecond(static_cast<int>(day.year()), static_cast<unsigned>(day.month()),
                           static_cast<unsigned>(day.day()), 0, 0, clock.count());
}

constexpr const char* zone_folder = "/usr/share/zoneinfo";

// A name of the database by its form. The library would also take paths, and names of its own.
bool is_zone_name(std::string_view name) {
  const std::vector<std::string> parts = split(name, '/');
  for (const std::string_view other : {"posix", "right", "Factory", "localtime", "posixrules"})
    if (parts.front() == other) return false;
  const bool formed = std::ranges::all_of(parts, [](const std::string& part) {
    return !part.empty() && std::ranges::all_of(part, [](char c) {
      return std::isalnum(static_cast<unsigned char>(c)) || c == '_' || c == '-' || c == '+';
    });
  });
  std::error_code none;
  return formed &&
         std::filesystem::is_regular_file(std::filesystem::path(zone_folder) / name, none);
}

// By how such files begin (RFC 8536): the folder holds others, too.
bool is_zone_file(const std::string& name) {
  std::array<char, 4> begin{};
  std::ifstream file(std::filesystem::path(zone_folder) / name, std::ios::binary);
  return file.read(begin.data(), begin.size()) && std::string_view(begin.data(), 4) == "TZif";
}

// Whether the C library's local time is that zone's, by the very file that is read here.
bool is_of_machine(const std::string& name) {
  if (std::getenv("TZDIR") || zone_of_machine() != name || !is_zone_file(name)) return false;
  std::error_code none;
  return std::getenv("TZ") ||
         std::filesystem::equivalent("/etc/localtime", std::filesystem::path(zone_folder) / name,
                                     none);
}

// Every one of them, for near names.
std::vector<std::string> zone_names() {
  std::vector<std::string> out;
  std::error_code none;
  for (const auto& file : std::filesystem::recursive_directory_iterator(
           zone_folder, std::filesystem::directory_options::skip_permission_denied, none)) {
    std::string name = file.path().lexically_relative(zone_folder).string();
    absl::TimeZone zone;
    if (is_zone_name(name) && absl::LoadTimeZone(name, &zone)) out.push_back(std::move(name));
  }
  std::sort(out.begin(), out.end());
  return out;
}

Error no_such_zone(std::string_view name) {
  return Error::request(
      fmt::format("Zone '{}' is not in the zone database, which has names such as "
                  "Europe/London.{}",
                  name, suggestion(name, zone_names())));
}

}  // namespace

class Zone::Rules {
 public:
  explicit Rules(std::string_view name) : name_(name), is_machines_(is_of_machine(name_)) {
    if (is_machines_) tzset();  // localtime_r() alone would look once in the life of the program
  }

  // False: the database has no such zone.
  bool exist() const { return is_machines_ || (is_zone_name(name_) && load()); }

  Seconds offset(Instant at) const {
    const std::time_t time = at.time_since_epoch().count();
    std::tm shown{};
    if (is_machines_ && localtime_r(&time, &shown)) return Seconds(shown.tm_gmtoff);
    return Seconds(whole().At(time_of(at)).offset);
  }

  const absl::TimeZone& whole() const {
    if (!load()) throw no_such_zone(name_);
    return zone_;
  }

 private:
  bool load() const {
    std::call_once(once_, [&] { is_loaded_ = absl::LoadTimeZone(name_, &zone_); });
    return is_loaded_;
  }

  std::string name_;
  // The C library then tells moments at a tenth of what it takes to load the zone: Abseil works out
  // 400 years of changes first.
  bool is_machines_;
  mutable std::once_flag once_;
  mutable bool is_loaded_ = false;
  mutable absl::TimeZone zone_;
};

Zone::Zone(std::string_view name) : rules_(std::make_unique<Rules>(name)) {
  if (rules_->exist()) return;
  throw no_such_zone(name);
}
Zone::Zone(Zone&&) noexcept = default;
Zone& Zone::operator=(Zone&&) noexcept = default;
Zone::~Zone() = default;

Moment Zone::moment(Instant at) const {
  const auto offset = std::chrono::floor<std::chrono::minutes>(rules_->offset(at));
  return {at, static_cast<int>(offset.count())};
}

Moment Zone::from_local(std::string_view day_text, std::string_view clock_text,
                        std::string_view text, std::string_view what) const {
  const auto day = day_from_iso(day_text);
  const auto clock = clock_from(clock_text);
  if (!day || !clock) throw not_a_time(text, what);
  using Reading = absl::TimeZone::TimeInfo;
  const Reading info = rules_->whole().At(clock_face(*day, *clock));
  const auto at = [&](absl::Time part) { return moment(writable(instant_of(part), text, what)); };
  if (info.kind == Reading::UNIQUE) return at(info.pre);
  const Moment first = at(info.pre), second = at(info.post);
  // In a gap the earlier reading, by the offset before the change, shows as the later clock time.
  const bool gap = info.kind == Reading::SKIPPED;
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
  using Reading = absl::TimeZone::TimeInfo;
  const Reading info = rules_->whole().At(clock_face(day, std::chrono::minutes(minute)));
  return instant_of(info.kind == Reading::SKIPPED ? info.trans : info.pre);
}

Day Zone::first_day_from(Instant moment_from) const {
  const auto day = std::chrono::sys_days(local_day(moment(moment_from)));
  const Instant begins = at(day);
  const Instant first = begins >= moment_from ? begins : at(day + std::chrono::days(1));
  // Read back from the moment: a zone that crosses the date line leaves out a whole day.
  return local_day(moment(first));
}

std::vector<ZoneSpan> Zone::spans(Instant from, Instant to) const {
  using Change = absl::TimeZone::CivilTransition;
  const auto when = [&](const Change& change) {
    return instant_of(rules_->whole().At(change.to).trans);
  };
  const auto info_at = [&](Instant at) { return rules_->whole().At(time_of(at)); };
  std::vector<ZoneSpan> out;
  for (Instant at = from;;) {
    const absl::TimeZone::CivilInfo info = info_at(at);
    const Seconds offset(info.offset);
    ZoneSpan span{{}, offset, offset, info.zone_abbr, false};
    const auto compare = [&](const absl::TimeZone::CivilInfo& neighbour) {
      if (neighbour.is_dst != info.is_dst && info.offset > neighbour.offset) span.daylight = true;
    };
    Change change;
    if (rules_->whole().PrevTransition(time_of(at + Seconds(1)), &change)) {
      span.begin = when(change);
      const absl::TimeZone::CivilInfo before = info_at(*span.begin - Seconds(1));
      span.offset_before = Seconds(before.offset);
      compare(before);
    }
    const bool ends = rules_->whole().NextTransition(time_of(at), &change);
    const Instant end = ends ? when(change) : to;
    if (ends) compare(info_at(end));
    out.push_back(std::move(span));
    if (!ends || end > to) return out;
    at = end;
  }
}

std::optional<std::string> zone_of_machine() {
  if (const char* variable = std::getenv("TZ")) {  // empty: the C library counts in UTC
    const std::string name(*variable == ':' ? variable + 1 : variable);
    return is_zone_name(name) ? std::optional(name) : std::nullopt;
  }
  std::error_code none;
  const std::string link = std::filesystem::read_symlink("/etc/localtime", none).string();
  constexpr std::string_view folder = "zoneinfo/";
  const std::size_t at = link.find(folder);
  if (at == std::string::npos) return {};
  const std::string name = link.substr(at + folder.size());
  return is_zone_name(name) ? std::optional(name) : std::nullopt;
}

std::string country_of_zone(std::string_view name) {
  std::ifstream in(std::string(zone_folder) + "/zone.tab");
  for (std::string line; std::getline(in, line);) {
    const std::vector<std::string> columns = split(line, '\t');
    if (columns.size() >= 3 && columns[2] == name) return columns[0];
  }
  return {};
}

}  // namespace trencher
