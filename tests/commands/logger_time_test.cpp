#include "commands/logger_time.h"

#include <catch2/catch.hpp>

using namespace trencher::commands;

namespace {

std::string read(std::string_view text, DateOrder order = DateOrder::day_first) {
  const auto time = read_written_time(text);
  if (!time) return "none";
  return iso_text(*time, order).value_or("no day");
}

}  // namespace

TEST_CASE("logger time: year first is read whatever the order asked") {
  for (const char* text :
       {"2026-01-05 08:00", "2026/1/5 8:00", "2026.01.05T08:00:00", " 2026-01-05, 8:00:00.250 "})
    for (const DateOrder order : {DateOrder::day_first, DateOrder::month_first}) {
      INFO(text);
      CHECK(read(text, order) == "2026-01-05T08:00:00");
    }
  CHECK(read("2026-01-05 08:00Z") == "2026-01-05T08:00:00Z");
  CHECK(read("2026-01-05T08:00:30-05:30") == "2026-01-05T08:00:30-05:30");
}

TEST_CASE("logger time: with dots the day comes first") {
  CHECK(read("05.01.2026 8:00") == "2026-01-05T08:00:00");
  CHECK(read("05.01.26 8:00", DateOrder::month_first) == "2026-01-05T08:00:00");
  CHECK_FALSE(read_written_time("05.01.2026 8:00")->is_open());
}

TEST_CASE("logger time: with slashes and hyphens the order is asked") {
  CHECK(read_written_time("5/1/2026 8:00")->is_open());
  CHECK(read("5/1/2026 8:00", DateOrder::day_first) == "2026-01-05T08:00:00");
  CHECK(read("5/1/2026 8:00", DateOrder::month_first) == "2026-05-01T08:00:00");
  CHECK(read("5-1-26 8:00", DateOrder::month_first) == "2026-05-01T08:00:00");
  CHECK(read("14/3/2026 8:00", DateOrder::month_first) == "no day");
  CHECK(read("29/2/2028 8:00") == "2028-02-29T08:00:00");
  CHECK(read("29/2/2026 8:00") == "no day");
}

TEST_CASE("logger time: noon and midnight by the half day") {
  CHECK(read("2026-01-05 12:00 AM") == "2026-01-05T00:00:00");
  CHECK(read("2026-01-05 12:30 pm") == "2026-01-05T12:30:00");
  CHECK(read("2026-01-05 1:05:09PM") == "2026-01-05T13:05:09");
  CHECK(read("2026-01-05 0:30 AM") == "none");
  CHECK(read("2026-01-05 13:00 PM") == "none");
}

TEST_CASE("logger time: what is no time is not read") {
  for (const char* text :
       {"", "yesterday 18:00", "2026-01-05", "08:00", "2026-01-05 25:00", "2026-01-05 08:60",
        "2026-01-05 08:00:61", "2026-01/05 08:00", "05/01/026 08:00", "123/01/2026 08:00",
        "2026-001-05 08:00", "2026-01-05 8", "2026-01-05 08:00 x", "2026-01-05 08:00+15:00",
        "2026-01-05 08:00+1", "5/1/2026/3 08:00", "2026-01-05X08:00"}) {
    INFO(text);
    CHECK(read(text) == "none");
  }
}
