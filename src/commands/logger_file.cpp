#include "commands/logger_file.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <map>

#include "commands/logger_columns.h"
#include "commands/logger_time.h"
#include "domain/error.h"
#include "domain/text.h"
#include "exchange/csv.h"

namespace trencher::commands {
namespace {

using exchange::CsvReader;
using Cells = std::vector<std::string>;

constexpr std::size_t longest_header = 1'000'000;  // bytes; a longer row is refused in any case
constexpr std::size_t most_decimals = 6;  // what domain/quantity.h reads; a sensor gives two

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

struct Row {
  std::size_t line;
  const Cells& cells;
};

// What `read` makes of a cell, which it takes the place of for its sentence: that is put together
// only where there is something to say.
template <typename Read, typename Place>
auto told(Read read, Place place) {
  try {
    return read(std::string());
  } catch (const Error&) {
    return read(place());
  }
}

class LoggerFile {
 public:
  LoggerFile(const std::string& file, const LoggerShape& shape, const Zone& zone, Instant latest)
      : file_(file), shape_(shape), zone_(zone), latest_(latest) {}

  // First the row that names the columns, then each row below it, then settle(), then each again.
  void name_columns(const Cells& names) {
    columns_.emplace(file_, names, shape_.columns);
    const std::string& header = columns_->name(columns_->temp());
    std::string behind = plain(header);
    if (names_temperature(behind)) behind.erase(0, behind.find_first_not_of(letters));
    unit_ = unit_in(behind);
    if (!unit_.empty() && !shape_.unit.empty() && unit_ != shape_.unit)
      throw Error::request(fmt::format("{}: --unit {} contradicts the column {}.", file_,
                                       shape_.unit, quoted(header)));
    if (unit_.empty()) unit_ = shape_.unit;
  }

  // Sees whether the dates are days of the calendar that do not lie ahead, in either order.
  void look_at_date(const Row& row) {
    none_ = false;
    const auto time = read_written_time(time_text(row));
    if (!time) throw no_time(row);
    const auto day_first = local_time(*time, DateOrder::day_first);
    const auto month_first =
        time->is_open() ? local_time(*time, DateOrder::month_first) : day_first;
    if (!day_first && !month_first) throw no_time(row);
    const auto fits = [&](const auto& local) {
      return local && Instant(local->time_since_epoch()) <= latest_ + Seconds(86400);
    };
    day_first_fits_ = day_first_fits_ && fits(day_first);
    month_first_fits_ = month_first_fits_ && fits(month_first);
    if (!open_.empty() || !day_first || !month_first || day_first == month_first) return;
    const auto day = [](const auto& local) {
      return show(Day(std::chrono::floor<std::chrono::days>(*local)));
    };
    open_ = fmt::format(
        "{} {} may be {} or {}, and nothing in the file tells which: say --dates day-first or "
        "--dates month-first.",
        time_what(row), quoted(time_text(row)), day(day_first), day(month_first));
  }

  void settle() {
    if (none_) throw Error::request(fmt::format("{} holds no readings below its header.", file_));
    if (!shape_.dates.empty()) {
      order_ = shape_.dates == "day-first" ? DateOrder::day_first : DateOrder::month_first;
      return;
    }
    if (day_first_fits_ == month_first_fits_ && !open_.empty()) throw Error::request(open_);
    if (!day_first_fits_ && month_first_fits_) order_ = DateOrder::month_first;
  }

  Reading read(const Row& row) {
    Reading out;
    out.at = moment(row);
    const std::size_t temp = columns_->temp();
    const auto [number, rest] = number_in(row, temp, "20.5");
    if (const std::string unit = unit_in(rest); !unit.empty()) {
      if (!unit_.empty() && unit != unit_)
        throw Error::request(
            fmt::format("{} {} contradicts the unit that the column, --unit or a line "
                        "before it says.",
                        what(row, temp), quoted(row.cells[temp])));
      unit_ = unit;
    }
    if (unit_.empty())
      throw Error::request(fmt::format(
          "{}: the column {} does not say whether it is in °C or °F; say so with --unit "
          "C or --unit F.",
          file_, quoted(columns_->name(temp))));
    const std::string degrees = number + unit_;
    out.temp = told([&](const std::string& place) { return parse_temperature(degrees, place); },
                    [&] { return what(row, temp); });
    if (const auto rh = columns_->rh(); rh && !plain(row.cells[*rh]).empty()) {
      const std::string humidity = number_in(row, *rh, "55").first;
      out.rh = told([&](const std::string& place) { return parse_humidity(humidity, place); },
                    [&] { return what(row, *rh); });
    }
    if (out.at > latest_)
      throw Error::request(
          fmt::format("{}: {} lies ahead; a logger tells what has been. Is its clock or "
                      "the zone wrong?",
                      where(row), show(zone_.moment(out.at))));
    return out;
  }

 private:
  static constexpr const char* letters = "abcdefghijklmnopqrstuvwxyz";

  std::string where(const Row& row) const { return fmt::format("{}, line {}", file_, row.line); }
  std::string what(const Row& row, std::size_t column) const {
    return fmt::format("{}, column {}:", where(row), quoted(columns_->name(column)));
  }

  // "20,5 °C" gives "20.5" and "c". Decimals that no sensor has are left out.
  std::pair<std::string, std::string> number_in(const Row& row, std::size_t column,
                                                const char* example) const {
    const std::string text = plain(row.cells[column]);
    const auto end = std::min(text.find_first_not_of("-0123456789.,"), text.size());
    std::string number = text.substr(0, end);
    const std::string rest = text.substr(end);
    if (const auto comma = number.find(','); comma != std::string::npos) number[comma] = '.';
    const bool one_point = number.find_first_of(".,", number.find('.') + 1) == std::string::npos;
    static constexpr std::array behind{"", "%", "%rh", "% rh", "rh", " %", " % rh", " rh"};
    if (number.empty() || !(one_point || number.find('.') == std::string::npos) ||
        !(std::find(behind.begin(), behind.end(), rest) != behind.end() || !unit_in(rest).empty()))
      throw Error::request(fmt::format("{} {} is no number such as {}.", what(row, column),
                                       quoted(row.cells[column]), example));
    if (const auto point = number.find('.'); point != std::string::npos)
      number.resize(std::min(number.size(), point + 1 + most_decimals));
    return {number, rest};
  }

  std::string time_text(const Row& row) const {
    const std::string& time = row.cells[columns_->time()];
    return columns_->date() ? row.cells[*columns_->date()] + " " + time : time;
  }
  std::string time_what(const Row& row) const {
    std::string column = quoted(columns_->name(columns_->time()));
    if (columns_->date()) column = quoted(columns_->name(*columns_->date())) + " and " + column;
    return fmt::format("{}, column {}:", where(row), column);
  }

  Error no_time(const Row& row) const {
    return Error::request(fmt::format(
        "{} {} is no time that is read here; it must be written as 2026-01-05 08:00, 05.01.2026 "
        "08:00 or 1/5/2026 8:00 AM, with or without seconds and an offset such as +01:00 or Z.",
        time_what(row), quoted(time_text(row))));
  }

  Instant moment(const Row& row) const {
    const auto time = read_written_time(time_text(row));
    if (!time) throw no_time(row);
    auto text = iso_text(*time, order_);
    if (!text)
      throw Error::request(fmt::format("{} {} is no day of the calendar with the {} first.",
                                       time_what(row), quoted(time_text(row)),
                                       order_ == DateOrder::day_first ? "day" : "month"));
    if (time->offset.empty()) *text += shape_.clock;
    try {
      return told([&](const std::string& place) { return zone_.parse(*text, latest_, place).at; },
                  [&] { return time_what(row); });
    } catch (const Error& failure) {  // skipped or doubled by a change of the clocks
      throw Error::request(fmt::format(
          "{} A logger whose own clock never changes is read with --clock, as --clock +01:00.",
          failure.what()));
    }
  }

  const std::string& file_;
  const LoggerShape& shape_;
  const Zone& zone_;
  Instant latest_;
  std::optional<LoggerColumns> columns_;
  std::string unit_;
  bool none_ = true;  // no rows below the header
  bool day_first_fits_ = true, month_first_fits_ = true;
  std::string open_;  // what is said of the first date that is another in either order
  DateOrder order_ = DateOrder::day_first;
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

// Calls `use` with the row that names the columns and each one below it. Lines that are skipped are
// read as blank, so that lines keep their numbers.
void each_row(const LoggerText& text, const std::string& file, int skip,
              const CsvReader::Row& use) {
  std::optional<CsvReader> reader;
  std::string head;  // until the line that names the columns, which tells the separator, is whole
  const auto begin = [&](std::size_t first) {
    const std::string_view from_header = std::string_view(head).substr(first);
    reader.emplace(file, separator_of(from_header.substr(0, from_header.find_first_of("\r\n"))),
                   use);
    reader->take(head);
  };
  text([&](std::string_view part) {
    if (part.find('\0') != std::string_view::npos)
      throw Error::request(
          fmt::format("{} is not plain text; save it as a comma file in UTF-8.", file));
    for (; skip > 0; --skip) {
      const auto end = part.find('\n');
      if (end == std::string_view::npos) return;
      part.remove_prefix(end + 1);
      head += '\n';
    }
    if (reader) return reader->take(part);
    head += part;
    const auto first = std::min(head.find_first_not_of("\r\n"), head.size());
    if (head.find_first_of("\r\n", first) != std::string::npos || head.size() > longest_header)
      begin(first);
  });
  if (!reader) begin(std::min(head.find_first_not_of("\r\n"), head.size()));
  reader->finish();
}

}  // namespace

void read_logger_file(const LoggerText& text, const std::string& file, const LoggerShape& shape,
                      const Zone& zone, Instant latest, const TakeReading& take) {
  LoggerFile logger(file, shape, zone, latest);
  std::size_t header = 0;  // its line
  each_row(text, file, shape.skip, [&](std::size_t line, const Cells& cells) {
    if (header) return logger.look_at_date({line, cells});
    logger.name_columns(cells);
    header = line;
  });
  logger.settle();
  each_row(text, file, shape.skip, [&](std::size_t line, const Cells& cells) {
    if (line > header) take(logger.read({line, cells}), static_cast<std::int64_t>(line));
  });
}

}  // namespace trencher::commands
