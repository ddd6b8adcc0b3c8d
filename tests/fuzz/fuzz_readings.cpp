// A logger's file: refused by file and line, or the same samples however it comes in parts, each
// within what a shop can have; and a table is read as it is written.
#include <array>

#include "commands/logger_file.h"
#include "domain/text.h"
#include "domain/zone.h"
#include "exchange/csv.h"
#include "fuzz.h"

using namespace trencher;
using commands::LoggerShape;

namespace {

struct Sample {
  Reading reading;
  std::int64_t line = 0;
  bool operator==(const Sample& other) const {
    return reading.at == other.reading.at && reading.temp == other.reading.temp &&
           reading.rh == other.reading.rh && line == other.line;
  }
};
using Samples = std::vector<Sample>;

const Instant latest =
    std::chrono::sys_days(Day{std::chrono::year(2027), std::chrono::month(1), std::chrono::day(1)});

std::optional<Samples> read(std::string_view text, std::size_t part, const LoggerShape& shape,
                            const Zone& zone, std::string* why = nullptr) {
  static const std::string file = "log.csv";
  return fuzz::accepted(
      [&] {
        Samples out;
        commands::read_logger_file(
            [&](const auto& use) {
              for (std::size_t at = 0; at < text.size(); at += part) use(text.substr(at, part));
            },
            file, shape, zone, latest,
            [&](const Reading& sample, std::int64_t line) {
              out.push_back({sample, line});
            });
        return out;
      },
      why);
}

// The samples as a plain file of their own.
std::string written(const Samples& samples) {
  std::string out = "time,temperature (C),rh\n";
  for (const Sample& sample : samples) {
    const std::int64_t milli = sample.reading.temp.milli;
    out += iso(sample.reading.at) + (milli < 0 ? ",-" : ",") +
           std::to_string(std::abs(milli) / 1000) + "." +
           std::to_string(1000 + std::abs(milli) % 1000).substr(1) + ",";
    if (const auto rh = sample.reading.rh)
      out += std::to_string(rh->permille / 10) + "." + std::to_string(rh->permille % 10);
    out += "\n";
  }
  return out;
}

void see_logger(std::string_view text, std::size_t part, const LoggerShape& shape,
                const Zone& zone) {
  std::string why, in_parts;
  const auto samples = read(text, text.size() + 1, shape, zone, &why);
  fuzz::demand(read(text, part, shape, zone, &in_parts) == samples &&
                   (why == in_parts || text.find('\0') != text.npos),
               "parts change nothing", why + " / " + in_parts);
  if (!samples)
    return fuzz::demand(why.find("log.csv") != std::string::npos || why.starts_with("--"),
                        "a refusal names the file", why);
  fuzz::demand(!samples->empty(), "a file that is taken has samples");
  std::int64_t line = 0;
  for (const Sample& sample : *samples) {
    fuzz::demand(sample.line > line, "lines go forwards");
    line = sample.line;
    fuzz::demand(sample.reading.at <= latest, "no sample lies ahead", iso(sample.reading.at));
    fuzz::demand(instant_from_iso(iso(sample.reading.at)) == sample.reading.at,
                 "its time can be kept", iso(sample.reading.at));
    fuzz::demand(sample.reading.temp.milli >= -40'000 && sample.reading.temp.milli <= 100'000,
                 "a shop has such a temperature");
    fuzz::demand(!sample.reading.rh ||
                     (sample.reading.rh->permille >= 0 && sample.reading.rh->permille <= 1000),
                 "air has such a humidity");
  }
  const auto again = read(written(*samples), 4096, {}, zone);
  fuzz::demand(again && again->size() == samples->size(), "what was read can be written");
  for (std::size_t i = 0; i < samples->size(); ++i)
    fuzz::demand(again->at(i) == Sample{samples->at(i).reading, static_cast<std::int64_t>(i) + 2},
                 "what was written is read");
}

void see_table(std::string_view text, char separator) {
  const auto table =
      fuzz::accepted([&] { return exchange::CsvTable::parse(text, "a.csv", separator); });
  if (!table) return;
  std::string out = exchange::csv_record(table->header());
  for (std::size_t i = 0; i < table->size(); ++i) out += exchange::csv_record(table->row(i));
  // A row of one empty cell is an empty line, which is skipped.
  if (table->header().size() == 1) return;
  const auto again = exchange::CsvTable::parse(out, "b.csv");
  fuzz::demand(again.header() == table->header() && again.size() == table->size(),
               "a table is read as written", out);
  for (std::size_t i = 0; i < table->size(); ++i)
    fuzz::demand(again.row(i) == table->row(i), "a row is read as written", out);
}

}  // namespace

// A line of choices, then the file: "COLUMNS" where such are given, after four signs for unit,
// order of dates, clock, and lines to skip.
extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  static const std::array zones{Zone("Europe/London"), Zone("America/New_York")};
  static constexpr std::array units{"", "C", "F"};
  static constexpr std::array orders{"", "day-first", "month-first"};
  static constexpr std::array clocks{"", "+01:00", "-05:00", "Z"};
  fuzz::Bytes in(data, size);
  LoggerShape shape;
  shape.unit = in.choice(units);
  shape.dates = in.choice(orders);
  shape.clock = in.choice(clocks);
  shape.skip = static_cast<int>(in.byte() % 4);
  const Zone& zone = in.choice(zones);
  const std::size_t part = in.byte() + 1;
  if (const std::string columns = in.line(); !columns.empty()) shape.columns = split(columns, ';');
  see_logger(in.rest(), part, shape, zone);
  see_table(in.rest(), ",;\t"[part % 3]);
  return 0;
}
