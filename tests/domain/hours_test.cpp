#include "domain/hours.h"

#include <catch2/catch.hpp>

#include "refusal.h"

using namespace trencher;

TEST_CASE("hours are read by day and time in the shapes that people write") {
  const std::vector<DayHours> evenings{{1, 1140, 1290}, {2, 1140, 1290}, {3, 1140, 1290},
                                       {4, 1140, 1290}, {5, 1140, 1290}, {6, 540, 1020}};
  CHECK(parse_hours("mon-fri 19:00-21:30, sat 9:00-17:00", "Hours") == evenings);
  CHECK(parse_hours("Sat 9-17 Monday-Friday 7pm-9:30pm", "Hours") == evenings);
  CHECK(parse_hours("sun-mon 12am-1am", "Hours") == std::vector<DayHours>{{1, 0, 60}, {7, 0, 60}});
  CHECK(parse_hours("sat 9:00-12:00 12:00-17:00", "Hours") ==
        std::vector<DayHours>{{6, 540, 1020}});
  CHECK(parse_hours("sat 9-12 13-24:00", "Hours") ==
        std::vector<DayHours>{{6, 540, 720}, {6, 780, 1440}});
}

TEST_CASE("hours are shown with days of the same hours together") {
  CHECK(show(parse_hours("mon-fri 19:00-21:30, sat 9:00-17:00", "Hours")) ==
        "Mon-Fri 19:00-21:30, Sat 9:00-17:00");
  CHECK(show(parse_hours("mon wed 8-9, wed 10-11", "Hours")) ==
        "Mon 8:00-9:00, Wed 8:00-9:00 10:00-11:00");
  CHECK(hours_from_json(to_json(parse_hours("tue 8-9", "Hours"))) == parse_hours("tue 8-9", "H"));
}

TEST_CASE("hours that make no sense are refused and say why") {
  const auto fault = [](const char* text) { return refusal([&] { parse_hours(text, "Hours"); }); };
  CHECK(fault("sat 9:00-17:00, fri-sun 16:00-18:00") ==
        "request: Hours 'sat 9:00-17:00, fri-sun 16:00-18:00': on Saturday 9:00-17:00 and "
        "16:00-18:00 "
        "overlap; write them as mon-fri 19:00-21:30, sat 9:00-17:00.");
  CHECK(fault("mon 22:00-1:00").find("ends before it begins") != std::string::npos);
  CHECK(fault("mon 9:00-9:00").find("ends before it begins") != std::string::npos);
  CHECK(fault("9:00-10:00").find("no day stands before '9:00-10:00'") != std::string::npos);
  CHECK(fault("mon").find("no hours stand behind the days") != std::string::npos);
  CHECK(fault("").find("names no hours") != std::string::npos);
  CHECK(fault("mo 9-10").find("'mo' is neither days nor hours") != std::string::npos);
  for (const char* odd : {"mon 9-25", "mon 9:60-10", "mon 9:5-10", "mon -9-10", "mon 13pm-14pm",
                          "mon 0pm-1pm", "mon 9", "mon 24:01-25"})
    CHECK(fault(odd).find("neither days nor hours") != std::string::npos);
}
