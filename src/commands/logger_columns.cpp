#include "commands/logger_columns.h"

#include <fmt/format.h>

#include <map>
#include <set>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

bool is_clock_name(const std::string& h) {
  static const std::set<std::string> names{"time", "zeit", "uhrzeit", "heure", "hora"};
  return names.contains(h);
}

bool is_date_name(const std::string& h) {
  static const std::set<std::string> names{"date", "datum", "fecha"};
  return names.contains(h);
}

bool is_moment_name(const std::string& h) {
  static const std::set<std::string> names{
      "datetime",      "date time",  "date/time",  "timestamp",    "zeitstempel",
      "datum/uhrzeit", "datum/zeit", "date/heure", "date heure",   "fecha/hora",
      "datum uhrzeit", "datum zeit", "fecha hora", "fecha y hora", "date et heure"};
  return names.contains(h) || is_clock_name(h);
}

bool is_rh_name(const std::string& h) {
  const bool rh =
      (h.starts_with("rh") || h.starts_with("hr")) && (h.size() == 2 || h[2] < 'a' || h[2] > 'z');
  return rh || h.find("humid") != std::string::npos || h.find("feucht") != std::string::npos ||
         h.find("humed") != std::string::npos;
}

}  // namespace

std::string plain(std::string_view cell) {
  std::string out;
  for (const char c : lower_ascii(cell)) {
    const bool kept = c > ' ' && c < 0x7F && c != '_' && c != '"';
    if (kept)
      out += c;
    else if (!out.empty() && out.back() != ' ')
      out += ' ';
  }
  while (out.ends_with(' ')) out.pop_back();
  return out;
}

std::string quoted(std::string_view cell) {
  if (cell.size() <= 60 && is_utf8(cell)) {
    try {
      return "'" + checked_text(cell, "The cell") + "'";
    } catch (const Error&) {  // control characters, or nothing: shown below as it can be
    }
  }
  std::string out(cell.substr(0, 60));
  for (char& c : out)
    if (c < ' ' || c > '~') c = '?';
  return "'" + out + "'";
}

bool names_temperature(const std::string& plain_name) { return plain_name.starts_with("temp"); }

LoggerColumns::LoggerColumns(const std::string& file, std::vector<std::string> names,
                             const std::vector<std::string>& given)
    : file_(file), names_(std::move(names)) {
  for (const std::string& item : given) take(item);
  if (!time_) time_ = only("time", is_moment_name);
  const bool clock_alone = time_ && is_clock_name(plain(name(*time_)));
  if (!date_ && (!time_ || clock_alone)) date_ = only("date", is_date_name);
  if (!time_ && date_) std::swap(time_, date_);  // a date column that holds the time too
  if (!time_) missing("time", "time, datetime, date time or timestamp");
  if (!temp_) temp_ = only("temperature", names_temperature);
  if (!temp_) missing("temperature", "temp or temperature");
  if (!rh_) rh_ = only("humidity", is_rh_name);
}

// "temp=Channel 1" or "temp=3".
void LoggerColumns::take(const std::string& item) {
  const auto equals = item.find('=');
  const std::string what = item.substr(0, equals);
  const std::map<std::string, std::optional<std::size_t>*> known{
      {"time", &time_}, {"date", &date_}, {"temp", &temp_}, {"rh", &rh_}};
  const auto place = known.find(what);
  if (equals == std::string::npos || place == known.end())
    throw Error::request(fmt::format(
        "--columns {} is not understood; write time=, date=, temp= or rh= and the column's name "
        "or number.",
        quoted(item)));
  if (*place->second)
    throw Error::request(fmt::format("--columns names {} twice; name it once.", what));
  const std::string wanted = item.substr(equals + 1);
  for (std::size_t i = 0; i < names_.size(); ++i)
    if (plain(name(i)) == plain(wanted) || std::to_string(i + 1) == wanted) *place->second = i;
  if (!*place->second) missing(what, quoted(wanted) + " by --columns");
}

std::optional<std::size_t> LoggerColumns::only(std::string_view what,
                                               bool (*fits)(const std::string&)) const {
  std::optional<std::size_t> found;
  for (std::size_t i = 0; i < names_.size(); ++i) {
    if (!fits(plain(name(i)))) continue;
    if (found)
      throw Error::request(fmt::format(
          "{} has two columns that may hold the {}: {} and {}; say which with --columns.", file_,
          what, quoted(name(*found)), quoted(name(i))));
    found = i;
  }
  return found;
}

void LoggerColumns::missing(std::string_view what, std::string_view names) const {
  std::vector<std::string> have;
  for (const std::string& column : names_) have.push_back(quoted(column));
  throw Error::request(
      fmt::format("{} has no column for the {}, called {}; its columns are {}. --columns says "
                  "which is which.",
                  file_, what, names, join_words(have)));
}

}  // namespace trencher::commands
