// A logger's file of temperature and humidity, in the shapes that loggers write.
//
// Cells lie between commas, semicolons or tabs, whichever the header has most of; numbers have a
// point or a comma. Columns are found by name, whatever the case, in English, German, French or
// Spanish, or as `columns` says:
//   time         time, date/time, timestamp, Zeit, Datum/Uhrzeit and so on, or two columns: date,
//   time temperature  a name that begins with temp, its unit in the name, in the cells, or as
//   `unit` says humidity     rh, or a name that holds humid, feucht or humed; may be absent, cells
//   may be empty
// Times are written year first, or with the day or the month first: where the whole file leaves it
// open which, it is refused with both readings. Without an offset they are local, or by a clock
// that never changes, as `clock` says.
#pragma once

#include <cstddef>
#include <functional>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/records.h"
#include "domain/zone.h"

namespace trencher::commands {

struct LoggerShape {
  std::string unit;                  // C, F or empty: as the file says
  std::vector<std::string> columns;  // "temp=Channel 1", "time=2": by name or number from 1
  std::string dates;                 // day-first, month-first or empty: as the file shows
  std::string clock;                 // "+01:00": the offset of the logger's clock; or empty
  int skip = 0;                      // lines before the header
};

// Hands over the text in parts, from its beginning.
using LoggerText = std::function<void(const std::function<void(std::string_view)>& part)>;
// Takes a sample and the line on which it stands.
using TakeReading = std::function<void(const Reading& sample, std::int64_t line)>;

// Reads `text` twice, for the whole of it may be needed to tell the order of its dates, and holds
// none of it; `take` is given the samples in the order of their lines. Error::request that names
// file, line, column and value for a cell that is not understood or a time after `latest`; samples
// may have been taken before it.
void read_logger_file(const LoggerText& text, const std::string& file, const LoggerShape& shape,
                      const Zone& zone, Instant latest, const TakeReading& take);

}  // namespace trencher::commands
