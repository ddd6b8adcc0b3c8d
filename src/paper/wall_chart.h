// The wall chart: the coming weeks on one sheet, as a calendar ruled by hand. What to do on which
// day, market days, days off and dates of food contact, in black and white.
//
// Day numbers and labels have capitals at least 7 mm high, to be read across the shop. All texts
// come already in the workshop's zone and words; an empty text is not there and takes no room.
#pragma once

#include <chrono>
#include <filesystem>
#include <optional>
#include <string>
#include <vector>

#include "domain/time.h"
#include "paper/size.h"

namespace trencher::paper {

enum class WallKind {
  coat,
  glue_up,
  sand,
  raise_grain,
  scuff,
  inspect,
  other,         // any other work
  food_contact,  // may touch food from this day
  latest,        // a window closes, such as that for the next coat
  promised,
  rags,
};

struct WallMark {
  std::string label;  // "014", "draft A", "26 014": the last word large, those before it small
  WallKind kind = WallKind::other;
  int coat = 0;        // of a coat, from 1
  int coats = 0;       // of so many, up to 30; 0: not known
  std::string time;    // "19:00"; may be empty
  std::string detail;  // what, in few words: "F1, thin"; may be empty
  bool guessed = false;
};

struct WallDay {
  bool market = false;
  std::string market_name;  // may be empty
  bool off = false;
  std::string hours;  // "17:00–21:00"; breaks at spaces; may be empty
  std::vector<WallMark> marks;
};

struct WallContent {
  std::string workshop;
  std::string span;     // "30 November to 27 December 2026"
  std::string made_on;  // "5 December 2026 14:30"
  Day first{};          // a Monday, or where weeks begin otherwise another day
  std::optional<Day> today;
  std::vector<WallDay> days;       // whole weeks, 1 to 6
  bool self_heating = false;       // a coat on the chart is of a finish whose rags may catch fire
  std::vector<std::string> notes;  // further sentences at the foot
};

struct WallOptions {
  Size sheet = a4;  // is turned to its broad side
  std::string language = "en";
  std::chrono::sys_seconds made_at{};  // becomes the file's creation date; same input, same bytes
};

// How many weeks, from the first, one sheet holds with each mark in its day. 0: not even one.
// Errors as write_wall_chart, which however holds more: see there.
int weeks_that_fit(const WallContent& chart, const WallOptions& options);

// Writes the chart to one PDF file of one page, which is either whole or untouched. Marks for which
// a day has no room are listed at the foot, the day says how many.
// Error request: an unknown language, a number of days that is no 1 to 6 weeks, a coat of an
// impossible number, a text that cannot be printed or is too wide, more marks than the sheet holds
// even so (names the day). Error book: the font or the file.
void write_wall_chart(const WallContent& chart, const WallOptions& options,
                      const std::filesystem::path& path);

}  // namespace trencher::paper
