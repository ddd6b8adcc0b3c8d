#include "commands/logger_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "commands/logger_time.h"
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

// "C", "F" or nothing, of the words behind a name or a number: "(deg c)", "f".
std::string unit_in(const std::string& text) {
  std::string letters;
  for (const char c : text) letters += c >= 'a' && c <= 'z' ? c : ' ';
  std::vector<std::string> words = split(letters, ' ');
  std::erase_if(words, [](const auto& w) { return w.empty() || w == "deg" || w == "degrees"; });
  const std::string rest = join(words, " ");
  if (rest == "c" || rest == "celsius" || rest == "centigrade") return "C";
  if (rest == "f" || rest == "fahrenheit") return "F";
  return {};
}

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

bool is_temp_name(const std::string& h) { return h.starts_with("temp"); }

bool is_rh_name(const std::string& h) {
  const bool rh =
      (h.starts_with("rh") || h.starts_with("hr")) && (h.size() == 2 || h[2] < 'a' || h[2] > 'z');
  return rh || h.find("humid") != std::string::npos || h.find("feucht") != std::string::npos ||
         h.find("humed") != std::string::npos;
}

// Which column is which.
class Columns {
 public:
  Columns(const CsvTable& table, const std::vector<std::string>& given) : table_(table) {
    for (const std::string& item : given) take(item);
    if (!time_) time_ = only("time", is_moment_name);
    const bool clock_alone = time_ && is_clock_name(plain(header(*time_)));
    if (!date_ && (!time_ || clock_alone)) date_ = only("date", is_date_name);
    if (!time_ && date_) std::swap(time_, date_);  // a date column that holds the time too
    if (!time_) missing("time", "time, datetime, date time or timestamp");
    if (!temp_) temp_ = only("temperature", is_temp_name);
    if (!temp_) missing("temperature", "temp or temperature");
    if (!rh_) rh_ = only("humidity", is_rh_name);
  }

  std::size_t time() const { return *time_; }
  std::size_t temp() const { return *temp_; }
  std::optional<std::size_t> date() const { return date_; }
  std::optional<std::size_t> rh() const { return rh_; }
  const std::string& header(std::size_t column) const { return table_.header()[column]; }

 private:
  // "temp=Channel 1" or "temp=3".
  void take(const std::string& item) {
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
    if (*place->second) throw Error::request(fmt::format("--columns names {} twice.", what));
    const std::string name = item.substr(equals + 1);
    for (std::size_t i = 0; i < table_.header().size(); ++i)
      if (plain(header(i)) == plain(name) || std::to_string(i + 1) == name) *place->second = i;
    if (!*place->second) missing(what, quoted(name) + " by --columns");
  }

  template <typename Fits>
  std::optional<std::size_t> only(std::string_view what, Fits fits) const {
    std::optional<std::size_t> found;
    for (std::size_t i = 0; i < table_.header().size(); ++i) {
      if (!fits(plain(header(i)))) continue;
      if (found)
        throw Error::request(fmt::format(
            "{} has two columns that may hold the {}: {} and {}; say which with --columns.",
            table_.file(), what, quoted(header(*found)), quoted(header(i))));
      found = i;
    }
    return found;
  }

  [[noreturn]] void missing(std::string_view what, std::string_view names) const {
    std::vector<std::string> have;
    for (const std::string& name : table_.header()) have.push_back(quoted(name));
    throw Error::request(
        fmt::format("{} has no column for the {}, called {}; its columns are {}. --columns says "
                    "which is which.",
                    table_.file(), what, names, join_words(have)));
  }

  const CsvTable& table_;
  std::optional<std::size_t> time_, date_, temp_, rh_;
};

class LoggerFile {
 public:
  LoggerFile(const CsvTable& table, const LoggerShape& shape, const Zone& zone, Instant latest)
      : table_(table), shape_(shape), columns_(table, shape.columns), zone_(zone), latest_(latest) {
    const std::string& header = columns_.header(columns_.temp());
    std::string behind = plain(header);
    if (is_temp_name(behind)) behind.erase(0, behind.find_first_not_of(letters));
    unit_ = unit_in(behind);
    agree(shape.unit, fmt::format("{}: --unit {} contradicts the column {}.", table.file(),
                                  shape.unit, quoted(header)));
    for (std::size_t row = 0; row < table.size(); ++row) times_.push_back(written(row));
    settle_order();
  }

  std::string where(std::size_t row) const {
    return fmt::format("{}, line {}", table_.file(), table_.line(row));
  }

  Reading read(std::size_t row) {
    Reading out;
    out.at = moment(row, order_);
    const auto [number, rest] = number_in(row, columns_.temp(), "20.5");
    const std::string& header = columns_.header(columns_.temp());
    agree(unit_in(rest),
          fmt::format("{} {} contradicts the unit that the column, --unit or a line "
                      "before it says.",
                      what(row, columns_.temp()), quoted(cell(row, columns_.temp()))));
    if (unit_.empty())
      throw Error::request(fmt::format(
          "{}: the column {} does not say whether it is in °C or °F; say so with --unit "
          "C or --unit F.",
          table_.file(), quoted(header)));
    out.temp = parse_temperature(number + unit_, what(row, columns_.temp()));
    if (columns_.rh() && !plain(cell(row, *columns_.rh())).empty())
      out.rh =
          parse_humidity(number_in(row, *columns_.rh(), "55").first, what(row, *columns_.rh()));
    return out;
  }

 private:
  static constexpr const char* letters = "abcdefghijklmnopqrstuvwxyz";

  const std::string& cell(std::size_t row, std::size_t column) const {
    return table_.row(row)[column];
  }
  std::string what(std::size_t row, std::size_t column) const {
    return fmt::format("{}, column {}:", where(row), quoted(columns_.header(column)));
  }

  // Takes in a unit that something states; `refusal` where another was stated before.
  void agree(const std::string& unit, const std::string& refusal) {
    if (unit.empty()) return;
    if (!unit_.empty() && unit_ != unit) throw Error::request(refusal);
    unit_ = unit;
  }

  // "20,5 °C" gives "20.5" and "c". Decimals that no sensor has are left out.
  std::pair<std::string, std::string> number_in(std::size_t row, std::size_t column,
                                                const char* example) const {
    const std::string text = plain(cell(row, column));
    const auto end = std::min(text.find_first_not_of("-0123456789.,"), text.size());
    std::string number = text.substr(0, end);
    const std::string rest = text.substr(end);
    if (const auto comma = number.find(','); comma != std::string::npos) number[comma] = '.';
    const bool one_point = number.find_first_of(".,", number.find('.') + 1) == std::string::npos;
    static const std::set<std::string> behind{"", "%", "%rh", "% rh", "rh", " %", " % rh", " rh"};
    if (number.empty() || !(one_point || number.find('.') == std::string::npos) ||
        !(behind.contains(rest) || !unit_in(rest).empty()))
      throw Error::request(fmt::format("{} {} is no number such as {}.", what(row, column),
                                       quoted(cell(row, column)), example));
    if (const auto point = number.find('.'); point != std::string::npos)
      number.resize(std::min(number.size(), point + 1 + most_decimals));
    return {number, rest};
  }

  std::string time_text(std::size_t row) const {
    const std::string& time = cell(row, columns_.time());
    return columns_.date() ? cell(row, *columns_.date()) + " " + time : time;
  }
  std::string time_what(std::size_t row) const {
    std::string column = quoted(columns_.header(columns_.time()));
    if (columns_.date()) column = quoted(columns_.header(*columns_.date())) + " and " + column;
    return fmt::format("{}, column {}:", where(row), column);
  }

  WrittenTime written(std::size_t row) const {
    const auto out = read_written_time(time_text(row));
    if (out &&
        (!out->is_open() || iso_text(*out, DateOrder::day_first) ||
         iso_text(*out, DateOrder::month_first)) &&
        (out->is_open() || iso_text(*out, DateOrder::day_first)))
      return *out;
    throw Error::request(fmt::format(
        "{} {} is no time that is read here; it must be written as 2026-01-05 08:00, 05.01.2026 "
        "08:00 or 1/5/2026 8:00 AM, with or without seconds and an offset such as +01:00 or Z.",
        time_what(row), quoted(time_text(row))));
  }

  // Whether every date is a day of the calendar in this order, and none lies ahead.
  bool fits(DateOrder order) const {
    return std::all_of(times_.begin(), times_.end(), [&](const WrittenTime& time) {
      const auto text = iso_text(time, order);
      return text && instant_from_iso(text->substr(0, 19) + "Z") <= latest_ + Seconds(86400);
    });
  }

  void settle_order() {
    const bool day = fits(DateOrder::day_first), month = fits(DateOrder::month_first);
    if (!shape_.dates.empty()) {
      order_ = shape_.dates == "day-first" ? DateOrder::day_first : DateOrder::month_first;
      return;
    }
    order_ = day || !month ? DateOrder::day_first : DateOrder::month_first;
    if (day != month) return;
    for (std::size_t row = 0; row < times_.size(); ++row) {
      const WrittenTime& time = times_[row];
      const auto one = iso_text(time, DateOrder::day_first),
                 other = iso_text(time, DateOrder::month_first);
      if (one == other || !one || !other) continue;
      throw Error::request(fmt::format(
          "{} {} may be {} or {}, and nothing in the file tells which: say --dates day-first or "
          "--dates month-first.",
          time_what(row), quoted(time_text(row)), show(*day_from_iso(one->substr(0, 10))),
          show(*day_from_iso(other->substr(0, 10)))));
    }
  }

  Instant moment(std::size_t row, DateOrder order) const {
    const WrittenTime& time = times_[row];
    auto text = iso_text(time, order);
    if (!text)
      throw Error::request(fmt::format("{} {} is no day of the calendar with the {} first.",
                                       time_what(row), quoted(time_text(row)),
                                       order == DateOrder::day_first ? "day" : "month"));
    if (time.offset.empty()) *text += shape_.clock;
    try {
      return zone_.parse(*text, latest_, time_what(row)).at;
    } catch (const Error& failure) {  // skipped or doubled by a change of the clocks
      throw Error::request(fmt::format(
          "{} A logger whose own clock never changes is read with --clock, as --clock +01:00.",
          failure.what()));
    }
  }

  const CsvTable& table_;
  const LoggerShape& shape_;
  Columns columns_;
  const Zone& zone_;
  Instant latest_;
  std::vector<WrittenTime> times_;
  DateOrder order_ = DateOrder::day_first;
  std::string unit_;
};

// The sign that the header has most of, outside quotes.
char separator_of(std::string_view header) {
  std::map<char, int> counts{{',', 0}, {';', 0}, {'\t', 0}};
  bool quoted_part = false;
  for (const char c : header) {
    if (c == '"') quoted_part = !quoted_part;
    if (const auto count = counts.find(c); !quoted_part && count != counts.end()) ++count->second;
  }
  return counts[';'] > counts[','] && counts[';'] >= counts['\t'] ? ';'
         : counts['\t'] > counts[',']                             ? '\t'
                                                                  : ',';
}

// Blank lines in place of those before the header, so that lines keep their numbers.
std::string without_lines(std::string_view text, int lines) {
  std::string blanks;
  for (int i = 0; i < lines; ++i) {
    const auto end = text.find('\n');
    text.remove_prefix(end == std::string_view::npos ? text.size() : end + 1);
    blanks += '\n';
  }
  return blanks + std::string(text);
}

}  // namespace

std::vector<Reading> read_logger_file(const std::string& text, const std::string& file,
                                      const LoggerShape& shape, const Zone& zone, Instant latest) {
  if (text.find('\0') != std::string::npos)
    throw Error::request(
        fmt::format("{} is not plain text; save it as a comma file in UTF-8.", file));
  const std::string read = shape.skip > 0 ? without_lines(text, shape.skip) : text;
  const auto begin = std::min(read.find_first_not_of("\r\n"), read.size());
  const char separator =
      separator_of(std::string_view(read).substr(begin, read.find_first_of("\r\n", begin) - begin));
  const CsvTable table = CsvTable::parse(read, file, separator);
  LoggerFile logger(table, shape, zone, latest);
  struct Row {
    Reading reading;
    std::size_t index;
  };
  std::vector<Row> rows;
  for (std::size_t i = 0; i < table.size(); ++i) {
    rows.push_back({logger.read(i), i});
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
