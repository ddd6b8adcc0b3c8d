// A logger's file: comma-separated, with a header that names the columns.
//
// Columns are found by name, whatever the case:
//   time         time, datetime, date time, date/time, timestamp; or two columns, date and time
//   temperature  a name that begins with temp, with its unit: Temperature (°F), temp_c
//   humidity     rh, or a name that holds humid; may be absent, its cells may be empty
// Times are ISO: 2026-01-05 08:00, with seconds, with an offset or Z; without one they are local.
#pragma once

#include <string>
#include <vector>

#include "domain/records.h"
#include "domain/zone.h"

namespace trencher::commands {

// The samples by time, one a moment. `unit` is C, F or empty: as the header says. Error::request
// that names file, line, column and value for a cell that is not understood, a time after `latest`,
// or two different values for one moment.
std::vector<Reading> read_logger_file(const std::string& text, const std::string& file,
                                      const std::string& unit, const Zone& zone, Instant latest);

}  // namespace trencher::commands
