#include "commands/logger_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "domain/error.h"
#include "domain/text.h"
#include "exchange/csv.h"

namespace trencher::commands {
namespace {

using exchange::CsvTable;

constexpr std::size_t most_decimals = 6;  // what domain/quantity.h reads; a sensor gives two

// Loggers write their degree sign in many encodings: what is not ASCII counts as a blank.
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

// A cell as it may stand in a sentence.
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

// "c", "f", or what else stands behind the name: "temperature (deg c)", "temp f".
std::string unit_in(const std::string& header) {
  std::string letters;
  for (const char c : header) letters += c >= 'a' && c <= 'z' ? c : ' ';
  std::vector<std::string> words = split(letters, ' ');
  words.erase(words.begin());  // temp, temperature
  std::erase_if(words, [](const auto& w) { return w.empty() || w == "deg" || w == "degrees"; });
  const std::string rest = join(words, " ");
  if (rest == "c" || rest == "celsius" || rest == "centigrade") return "C";
  if (rest == "f" || rest == "fahrenheit") return "F";
  return {};
}

class LoggerFile {
 public:
  LoggerFile(const CsvTable& table, const std::string& unit) : table_(table) {
    static const std::set<std::string> names{"time", "datetime", "date time", "date/time",
                                             "timestamp"};
    const auto time = only("time", [](const std::string& h) { return names.contains(h); });
    if (!time) missing("time", "time, datetime, date time or timestamp");
    time_ = *time;
    if (plain(table.header()[time_]) == "time")
      date_ = only("date", [](const std::string& h) { return h == "date"; });
    const auto temp =
        only("temperature", [](const std::string& h) { return h.starts_with("temp"); });
    if (!temp) missing("temperature", "temp or temperature");
    temp_ = *temp;
    rh_ = only("humidity", [](const std::string& h) {
      const bool rh = h.starts_with("rh") && (h.size() == 2 || h[2] < 'a' || h[2] > 'z');
      return rh || h.find("humid") != std::string::npos;
    });
    find_unit(unit);
  }

  std::string where(std::size_t row) const {
    return fmt::format("{}, line {}", table_.file(), table_.line(row));
  }

  Reading read(std::size_t row, const Zone& zone, Instant now) const {
    Reading out;
    out.at = time(row, zone, now);
    out.temp = parse_temperature(number(row, temp_) + unit_, what(row, temp_));
    if (rh_ && !plain(table_.row(row)[*rh_]).empty())
      out.rh = parse_humidity(number(row, *rh_), what(row, *rh_));
    return out;
  }

 private:
  template <typename Fits>
  std::optional<std::size_t> only(std::string_view what, Fits fits) const {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < table_.header().size(); ++i) {
      if (!fits(plain(table_.header()[i]))) continue;
      if (found)
        throw Error::request(fmt::format(
            "{} has two columns that may hold the {}: {} and {}; leave one.", table_.file(), what,
            quoted(table_.header()[*found]), quoted(table_.header()[i])));
      found = i;
    }
    return found;
  }

  [[noreturn]] void missing(std::string_view what, std::string_view names) const {
    std::vector<std::string> have;
    for (const std::string& name : table_.header()) have.push_back(quoted(name));
    throw Error::request(fmt::format("{} has no column for the {}, called {}; its columns are {}.",
                                     table_.file(), what, names, join_words(have)));
  }

  void find_unit(const std::string& given) {
    const std::string& header = table_.header()[temp_];
    unit_ = unit_in(plain(header));
    if (unit_.empty() && given.empty())
      throw Error::request(
          fmt::format("{}: the column {} does not say whether it is in °C or °F; say so "
                      "with --unit C or --unit F.",
                      table_.file(), quoted(header)));
    if (!unit_.empty() && !given.empty() && unit_ != given)
      throw Error::request(fmt::format("{}: --unit {} contradicts the column {}.", table_.file(),
                                       given, quoted(header)));
    if (unit_.empty()) unit_ = given;
  }

  std::string what(std::size_t row, std::size_t column) const {
    return fmt::format("{}, column {}:", where(row), quoted(table_.header()[column]));
  }

  // Without blanks, and without decimals that no sensor has.
  std::string number(std::size_t row, std::size_t column) const {
    const std::string& cell = table_.row(row)[column];
    const auto first = cell.find_first_not_of(' '), last = cell.find_last_not_of(' ');
    std::string out = first == std::string::npos ? "" : cell.substr(first, last - first + 1);
    if (out.find_first_not_of("-0123456789.") != std::string::npos || out.empty())
      throw Error::request(
          fmt::format("{} {} is no number such as 20.5.", what(row, column), quoted(cell)));
    if (const auto point = out.find('.'); point != std::string::npos)
      out.resize(std::min(out.size(), point + 1 + most_decimals));
    return out;
  }

  Instant time(std::size_t row, const Zone& zone, Instant now) const {
    const auto& cells = table_.row(row);
    std::string text = cells[time_];
    std::string column = quoted(table_.header()[time_]);
    if (date_) {
      text = cells[*date_] + " " + text;
      column = quoted(table_.header()[*date_]) + " and " + column;
    }
    const std::string said = fmt::format("{}, column {}:", where(row), column);
    if (!iso_time(text))
      throw Error::request(
          fmt::format("{} {} is no time that is read here; it must be written as 2026-01-05 08:00, "
                      "with or without "
                      "seconds and an offset such as +01:00 or Z.",
                      said, quoted(text)));
    return zone.parse(text, now, said).at;
  }

  // Whether the form and each part fit; words such as 'yesterday' have no place in a file.
  static bool iso_time(std::string_view text) {
    const auto digits = [&](std::size_t at, int limit) {
      const std::string_view pair = text.substr(std::min(at, text.size()), 2);
      return pair.size() == 2 && pair.find_first_not_of("0123456789") == std::string_view::npos &&
             (pair[0] - '0') * 10 + (pair[1] - '0') < limit;
    };
    if (!day_from_iso(text.substr(0, 10)) || text.size() < 16 ||
        (text[10] != ' ' && text[10] != 'T'))
      return false;
    if (!digits(11, 24) || text[13] != ':' || !digits(14, 60)) return false;
    std::string_view rest = text.substr(16);
    if (rest.starts_with(':')) {
      if (!digits(17, 60)) return false;
      rest = text.substr(19);
    }
    if (rest.empty() || rest == "Z" || rest == "z") return true;
    const std::size_t at = text.size() - rest.size();
    return rest.size() == 6 && (rest[0] == '+' || rest[0] == '-') && digits(at + 1, 14) &&
           rest[3] == ':' && digits(at + 4, 60);
  }

  const CsvTable& table_;
  std::size_t time_ = 0, temp_ = 0;
  std::optional<std::size_t> date_, rh_;
  std::string unit_;
};

}  // namespace

std::vector<Reading> read_logger_file(const std::string& text, const std::string& file,
                                      const std::string& unit, const Zone& zone, Instant latest) {
  if (text.find('\0') != std::string::npos)
    throw Error::request(
        fmt::format("{} is not plain text; save it as a comma file in UTF-8.", file));
  const std::string_view header = std::string_view(text).substr(0, text.find_first_of("\r\n"));
  if (header.find(',') == std::string_view::npos && header.find(';') != std::string_view::npos)
    throw Error::request(fmt::format(
        "{} separates its cells by semicolons; save it with commas, and points in its numbers.",
        file));
  const CsvTable table = CsvTable::parse(text, file);
  const LoggerFile logger(table, unit);
  struct Row {
    Reading reading;
    std::size_t index;
  };
  std::vector<Row> rows;
  for (std::size_t i = 0; i < table.size(); ++i) {
    rows.push_back({logger.read(i, zone, latest), i});
    if (rows.back().reading.at > latest)
      throw Error::request(
          fmt::format("{}: {} lies ahead; a logger tells what has been. Is its clock or "
                      "the zone wrong?",
                      logger.where(i), show(zone.moment(rows.back().reading.at))));
  }
  std::stable_sort(rows.begin(), rows.end(),
                   [](const Row& a, const Row& b) { return a.reading.at < b.reading.at; });
  std::vector<Reading> out;
  std::size_t kept = 0;
  for (const Row& row : rows) {
    if (out.empty() || out.back().at != row.reading.at) {
      out.push_back(row.reading);
      kept = row.index;
    } else if (out.back().temp != row.reading.temp || out.back().rh != row.reading.rh) {
      throw Error::request(
          fmt::format("{}, lines {} and {}: two different values for one moment, {}.", file,
                      table.line(kept), table.line(row.index), show(zone.moment(row.reading.at))));
    }
  }
  if (out.empty())
    throw Error::request(fmt::format("{} holds no readings below its header.", file));
  return out;
}

}  // namespace trencher::commands
