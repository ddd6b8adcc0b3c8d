#include "paper/wall_chart.h"

#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <functional>

#include "domain/error.h"
#include "wall_samples.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Matchers::Contains;
using Catch::Matchers::Message;

namespace {

std::size_t count(const std::string& text, const std::string& part) {
  std::size_t found = 0;
  for (std::size_t at = 0; (at = text.find(part, at)) != std::string::npos; ++at) ++found;
  return found;
}

}  // namespace

TEST_CASE("A wall chart prints every mark with its time and words and every kind of day") {
  const Printed printed(busy_weeks(4));
  const std::string text = printed.text();
  for (const char* part : {"Old Mill Boards · 30 November 2026 and after",
                           "Made 2 December 2026 18:30",
                           "Mon Tue Wed Thu Fri Sat Sun",
                           "30 Nov 18:00",
                           "014 19:00 coat 1 of 3, F1, thin",
                           "014 20:00 rags",
                           "1 Dec 18:00",
                           "015 18:30 glue-up, G1",
                           "2 today",
                           "014 18:00 scuff, grit 400 014 18:30 coat 2 of 3",
                           "015 18:00 sand, to 180",
                           "draft A 19:30 glue-up",
                           "015 raise grain",
                           "5 market: Exampleton green",
                           "day off 014 12:00 coat 3 at the latest, guessed",
                           "014 18:00 coat 3 of 3, guessed",
                           "draft A 18:00 coat 1 of 5",
                           "014 inspect",
                           "016 18:00 fit feet",
                           "12 market 08:00",
                           "014 food contact, guessed",
                           "26 016 promised"})
    CHECK_THAT(text, Contains(part));
  CHECK_THAT(text, !Contains("More on"));
  CHECK_THAT(text, !Contains("below"));
}

TEST_CASE("The foot names the signs that are on the chart and no others") {
  const std::string all = Printed(busy_weeks(4)).text();
  for (const char* part :
       {"coats: full strokes are on by then, hollow ones still to come", "other work",
        "food contact, not before this day", "a time that runs out", "promised for this day",
        "rags to see to", "market day", "day off guessed", "Rags and paper wet with a finish",
        "Dates ringed with a broken line are guessed",
        "Smell, tack or softness means not ready, whatever the date.",
        "The product's label and local rules come first."})
    CHECK_THAT(all, Contains(part));
  WallContent bare = plain_weeks(2);
  bare.notes = {"Ben is away in the second week."};
  for (WallDay& day : bare.days) day.off = false;
  const std::string none = Printed(bare).text();
  for (const char* part : {"coats:", "market", "day off", "guessed", "Rags", "promised"})
    CHECK_THAT(none, !Contains(part));
  CHECK_THAT(none, Contains("Smell, tack or softness means not ready, whatever the date. The "
                            "product's label and local rules come first. Ben is away in the "
                            "second week."));
}

TEST_CASE("What a day has no room for is listed at the foot and never lost") {
  const WallContent chart = crowded_weeks();
  for (const Size sheet : {a4, letter}) {
    CHECK(weeks_that_fit(chart, options(sheet)) < 4);
    const Printed printed(chart, sheet);
    const std::string text = printed.text();
    CHECK_THAT(text, Contains("More on"));
    const std::size_t split = text.find("More on");
    const std::string cells = text.substr(0, split), rest = text.substr(split);
    std::size_t marks = 0;
    for (const WallDay& day : chart.days) marks += day.marks.size();
    const std::size_t labels = large_words(printed.pdf).size() - 28;
    // What the days say that is below them.
    std::size_t below = 0;
    const std::regex more("\\+ ([0-9]+) below");
    for (auto at = std::sregex_iterator(cells.begin(), cells.end(), more);
         at != std::sregex_iterator(); ++at)
      below += std::stoul((*at)[1]);
    CHECK(labels + below == marks);
    CHECK(below > 0);
    for (int i = 0; i < 6; ++i) {
      CHECK(count(text, fmt::format("coat {} of 6, wipe off after {} minutes", i + 1, 20 + i)) ==
            1);
      CHECK(count(text, fmt::format("19:4{} sand, to 240", i)) == 1);
    }
    CHECK_THAT(rest, Contains("Thu 17 Dec 035: 19:45 sand, to 240"));
    CHECK_THAT(rest, Contains("Thu 10 Dec"));
  }
}

TEST_CASE("As many weeks as fit hold every mark in its day and one more does not") {
  WallContent chart = busy_weeks(6);
  for (std::size_t day = 28; day < 42; ++day)
    chart.days[day].marks = {{"017", WallKind::coat, 1, 2, "18:00", "", false},
                             {"018", WallKind::coat, 1, 2, "18:30", "", false}};
  const int weeks = weeks_that_fit(chart, options());
  REQUIRE(weeks >= 2);
  REQUIRE(weeks < 6);
  WallContent more = chart;
  chart.days.resize(static_cast<std::size_t>(weeks) * 7);
  more.days.resize(static_cast<std::size_t>(weeks + 1) * 7);
  CHECK_THAT(Printed(chart).text(), !Contains("More on"));
  CHECK_THAT(Printed(more).text(), Contains("More on"));
  CHECK(weeks_that_fit(plain_weeks(6), options(letter)) == 6);
}

TEST_CASE("Long names make the type smaller or take more lines and are all there") {
  WallContent chart = busy_weeks(2);
  chart.workshop =
      "Workshop for Boards and Spoons and All Manner of Turned and Carved Ware at the "
      "Old Mill in Upper Exampleton by the Weir";
  chart.days[8].market = true;
  chart.days[8].market_name = "Sheep fair of the Lower Hundred of Exampleton";
  chart.days[9].marks[0].detail = "Walnussölhartwachsveredelungsüberzug first";
  const Printed printed(chart);
  CHECK(overlaps(printed.pdf) == "");
  const std::string text = printed.text();
  CHECK_THAT(text, Contains(chart.workshop));
  CHECK_THAT(text, Contains("market: Sheep fair of the Lower Hundred of Exampleton"));
  std::string joined = text;
  std::erase(joined, ' ');
  CHECK_THAT(joined, Contains("Walnussölhartwachsveredelungsüberzugfirst"));
}

TEST_CASE("Too much for a sheet and a label too wide are refused by their day") {
  WallContent chart = plain_weeks(4);
  for (WallDay& day : chart.days)
    for (int i = 0; i < 12; ++i)
      day.marks.push_back({"014", WallKind::coat, 1, 3, "18:00", "thin", false});
  chart.days[10].marks.push_back({"015", WallKind::sand, 0, 0, "", "", false});
  CHECK(weeks_that_fit(chart, options()) == 0);
  CHECK_THROWS_MATCHES(
      Printed(chart), Error,
      Message("The wall chart does not fit one sheet: there is too much to do in 4 weeks, above "
              "all on Thu 10 Dec (13 marks). Draw fewer weeks."));
  chart = plain_weeks(1);
  chart.days[3].marks = {{std::string(40, '8'), WallKind::sand, 0, 0, "", "", false}};
  CHECK_THROWS_WITH(Printed(chart),
                    Contains("\"8888888") && Contains("on Thu 3 Dec of the wall "
                                                      "chart does not fit: it is "));
}

TEST_CASE("Days that are no weeks and coats that cannot be and a language unheard of are refused") {
  WallContent chart = plain_weeks(2);
  chart.days.pop_back();
  CHECK_THROWS_MATCHES(
      Printed(chart), Error,
      Message("A wall chart of 13 days cannot be drawn: it has 1 to 6 whole weeks."));
  chart.days.clear();
  CHECK_THROWS_AS(weeks_that_fit(chart, options()), Error);
  CHECK_THROWS_AS(Printed(plain_weeks(7)), Error);
  for (const auto& [coat, coats] : {std::pair(0, 3), {4, 3}, {31, 0}, {1, 31}, {1, -1}}) {
    chart = plain_weeks(1);
    chart.days[0].marks = {{"014", WallKind::coat, coat, coats, "", "", false}};
    CHECK_THROWS_WITH(Printed(chart),
                      Contains(fmt::format("coat {} of {} of \"014\"", coat, coats)));
  }
  const Folder folder;
  CHECK_THROWS_MATCHES(write_wall_chart(plain_weeks(1), {a4, "xx", print_time}, folder / "w.pdf"),
                       Error,
                       Message("There is no wall-chart in the language \"xx\": there is en."));
  CHECK(folder.names().empty());
}

TEST_CASE("Control characters are drawn as a sign wherever they stand") {
  const auto signs = [](const std::function<void(WallContent&)>& spoil) {
    WallContent chart = busy_weeks(2);
    spoil(chart);
    const Folder folder;
    write_wall_chart(chart, options(), folder / "w.pdf");
    CHECK_THAT(text_of(folder / "w.pdf"), Contains("\uFFFD"));
    CHECK(weeks_that_fit(chart, options()) == 2);
  };
  const std::string bad = "a\nb";
  signs([&](WallContent& chart) { chart.workshop = bad; });
  signs([&](WallContent& chart) { chart.span = bad; });
  signs([&](WallContent& chart) { chart.made_on = bad; });
  signs([&](WallContent& chart) { chart.notes = {bad}; });
  signs([&](WallContent& chart) { chart.days[3].hours = bad; });
  signs([&](WallContent& chart) { chart.days[5].market_name = bad; });
  signs([&](WallContent& chart) { chart.days[0].marks[0].label = bad; });
  signs([&](WallContent& chart) { chart.days[0].marks[0].time = bad; });
  signs([&](WallContent& chart) { chart.days[0].marks[0].detail = bad; });
  signs([&](WallContent& chart) { chart.days[0].marks[0].detail = "\xff"; });
}

TEST_CASE("Blank texts and a mark without a label are drawn without a fault") {
  WallContent chart = plain_weeks(1);
  chart.workshop = chart.span = "";
  chart.days[0].hours = "  ";
  chart.days[0].marks = {{"", WallKind::other, 0, 0, "19:00", "sweep  up ", false},
                         {"014 ", WallKind::other, 0, 0, "20:00", "   ", false}};
  const Printed printed(chart);
  check_sound(printed.pdf);
  CHECK_THAT(printed.text(), Contains("19:00 sweep up 014 20:00"));
  CHECK(large_words(printed.pdf).size() == 8);
}

TEST_CASE("The same chart gives the same bytes") {
  for (const WallContent& chart : {busy_weeks(4), crowded_weeks()}) {
    const bool same = read_file(Printed(chart).pdf) == read_file(Printed(chart).pdf);
    CHECK(same);  // and no bytes on the screen
  }
}
