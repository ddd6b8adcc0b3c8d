// A logger's file in parts. The shapes of files are told in tests/runs/loggers.txt and
// readings.txt.
#include "commands/logger_file.h"

#include <fmt/format.h>

#include <catch2/catch.hpp>

#include "../domain/refusal.h"

using namespace trencher;
using namespace trencher::commands;

namespace {

const Zone london("Europe/London");
const Instant latest = instant_from_iso("2026-11-25T18:00:00Z");

// "line: time temperature humidity" of each sample, of a text in parts of so many bytes, and the
// refusal.
std::vector<std::string> samples(const std::string& text, std::size_t size,
                                 const LoggerShape& shape = {}) {
  std::vector<std::string> out;
  int times = 0;
  const LoggerText parts = [&](const std::function<void(std::string_view)>& part) {
    ++times;
    for (std::size_t at = 0; at < text.size(); at += size)
      part(std::string_view(text).substr(at, size));
  };
  const std::string refused = refusal([&] {
    read_logger_file(parts, "t.csv", shape, london, latest, [&](const Reading& sample, auto line) {
      out.push_back(fmt::format("{}: {} {} {}", line, iso(sample.at), sample.temp.milli,
                                sample.rh ? sample.rh->permille : -1));
    });
  });
  CHECK(times <= 2);
  out.push_back(refused);
  return out;
}

const std::string fine = "nothing was refused";

}  // namespace

TEST_CASE("logger file: wherever the parts end the samples are the same") {
  const LoggerShape skipped{.skip = 2};
  for (const char* end : {"\n", "\r\n"}) {
    std::string text;
    for (const char* line :
         {"\xEF\xBB\xBFLogger 7; \"Shop", "kept by; Sam", "",
          "Datum;Uhrzeit;Temperatur °C;Feuchte;\"a;b\"", "05.10.2026;8:00;18,5;55;\"two\nlines\"",
          "", "05.10.2026;7:30:15;18 °C;;"})
      text.append(line).append(end);
    for (std::size_t size = 1; size <= text.size(); ++size) {
      INFO(text << " in parts of " << size);
      CHECK(samples(text, size, skipped) ==
            std::vector<std::string>{"5: 2026-10-05T07:00:00Z 18500 550",
                                     "8: 2026-10-05T06:30:15Z 18000 -1", fine});
    }
  }
}

TEST_CASE("logger file: its last line may tell the order of the dates of all") {
  std::string text = "time,temp c\n";
  for (int day = 1; day <= 11; ++day) text += fmt::format("{}/3/2026 08:00,20\n", day);
  const auto open = samples(text, 100);
  CHECK(open == std::vector<std::string>{
                    "request: t.csv, line 2, column 'time': '1/3/2026 08:00' may be Sun 1 Mar 2026 "
                    "or Sat 3 Jan 2026, and nothing in the file tells which: say --dates day-first "
                    "or --dates month-first."});
  const auto day_first = samples(text + "13/3/2026 08:00,20\n", 100);
  REQUIRE(day_first.size() == 13);
  CHECK(day_first[1] == "3: 2026-03-02T08:00:00Z 20000 -1");
  const auto month_first = samples(text + "3/13/2026 08:00,20\n", 100);
  REQUIRE(month_first.size() == 13);
  CHECK(month_first[1] == "3: 2026-02-03T08:00:00Z 20000 -1");
  // With the day first it would lie ahead.
  CHECK(samples(text + "11/12/2026 08:00,20\n", 100) ==
        samples(text + "11/12/2026 08:00,20\n", 100, {.dates = "month-first"}));
  CHECK(samples(text, 100, {.dates = "month-first"})[1] == "3: 2026-02-03T08:00:00Z 20000 -1");
}

TEST_CASE("logger file: 3 March is 3 March in either order") {
  CHECK(samples("time,temp c\n3/3/2026 08:00,20\n", 5) ==
        std::vector<std::string>{"2: 2026-03-03T08:00:00Z 20000 -1", fine});
}

TEST_CASE("logger file: a fault is told by its line and what stood before it was taken") {
  const std::string good = "time,temp c,rh\n2026-03-03 08:00,20,50\n2026-03-03 08:10,20,50\n";
  const auto late = [&](const std::string& line) {
    const auto out = samples(good + line + "\n", 7);
    CHECK(out.size() <= 3);
    return out.back();
  };
  CHECK(late("2026-03-03 08:20,warm,50") ==
        "request: t.csv, line 4, column 'temp c': 'warm' is no number such as 20.5.");
  CHECK(late("2026-03-03 08:20,200,50")
            .starts_with("request: t.csv, line 4, column 'temp c': '200C' "));
  CHECK(late("2026-03-03 08:20,20,101")
            .starts_with(
                "request: t.csv, line 4, column 'rh': '101' is no percentage from 0 to 100"));
  CHECK(late("2026-03-29 01:20,20,50")
            .starts_with(
                "request: t.csv, line 4, column 'time': '2026-03-29T01:20:00' does not exist"));
  CHECK(late("2026-11-25 18:01,20,50")
            .starts_with("request: t.csv, line 4: Wed 25 Nov 2026 18:01 lies ahead"));
  // What the first reading notices, before any sample is taken.
  const auto early = [&](const std::string& line) {
    const auto out = samples(good + line + "\n", 7);
    CHECK(out.size() == 1);
    return out.back();
  };
  CHECK(
      early("today 08:20,20,50")
          .starts_with(
              "request: t.csv, line 4, column 'time': 'today 08:20' is no time that is read here"));
  CHECK(early("2026-03-03 08:20,20") ==
        "request: t.csv, line 4: this row has 2 cells and the header 3; they must be as many.");
  CHECK(early(std::string("2026-03-03 08:20,20\0", 20)) ==
        "request: t.csv is not plain text; save it as a comma file in UTF-8.");
}

TEST_CASE("logger file: one without readings or names is refused") {
  for (const char* text : {"time,temp c\n", "\n\ntime,temp c", "time,temp c\n\n\n"})
    CHECK(samples(text, 3).back() == "request: t.csv holds no readings below its header.");
  for (const char* text : {"\n\n", "a\nb\n"})
    CHECK(samples(text, 3, {.skip = 2}).back() ==
          "request: t.csv is empty; its first line must name the columns.");
  CHECK(samples(std::string(3'000'000, 'x'), 65536)
            .back()
            .starts_with(
                "request: t.csv, line 1: the row that begins here is longer than a million bytes"));
  CHECK(samples(std::string(1'500'000, '\n') + "time,temp c\n2026-03-03 08:00,20\n", 65536) ==
        std::vector<std::string>{"1500002: 2026-03-03T08:00:00Z 20000 -1", fine});
}
