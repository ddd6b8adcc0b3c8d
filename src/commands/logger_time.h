// Dates and times as loggers write them: 2026-01-05 08:00, 05.01.2026 8:00:30, 1/5/26 8:00 AM.
#pragma once

#include <chrono>
#include <optional>
#include <string>
#include <string_view>

namespace trencher::commands {

enum class DateOrder { day_first, month_first };

// One moment as written; which of the first two numbers is the day may be open.
struct WrittenTime {
  int first = 0, second = 0, third = 0;  // of the date, in the order written
  bool year_first = false;
  bool dotted = false;  // 05.01.2026: written so where the day comes first
  int hour = 0, minute = 0, seconds = 0;
  std::string offset;  // "Z", "+01:00" or empty

  bool is_open() const { return !year_first && !dotted; }
};

// Nothing where it is no time of these forms. A year of two digits is of this century; fractions of
// a second are dropped; AM and PM may follow.
std::optional<WrittenTime> read_written_time(std::string_view text);

// The clock's time, as seconds since 1970 began by the same clock; nothing where that is no day of
// the calendar in this order.
std::optional<std::chrono::local_seconds> local_time(const WrittenTime& time, DateOrder order);

// "2026-01-05T08:00:00", with the offset where there is one; nothing as above.
std::optional<std::string> iso_text(const WrittenTime& time, DateOrder order);

}  // namespace trencher::commands
