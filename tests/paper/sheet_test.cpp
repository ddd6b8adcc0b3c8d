#include "paper/sheet.h"

#include <catch2/catch.hpp>

#include "domain/error.h"
#include "paper/card.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Matchers::Message;

TEST_CASE("A sheet takes as many cards as its measure allows") {
  CHECK(cards_per_sheet(a4, a6) == 4);
  CHECK(cards_per_sheet(letter, a6) == 2);  // 2 x 148 mm is more than 279.4 mm
  CHECK(cards_per_sheet(letter, quarter_letter) == 4);
  CHECK(cards_per_sheet(a4, a5) == 2);
  CHECK(cards_per_sheet(a4, a7) == 8);  // ISO 216: each half of the size before
  CHECK(cards_per_sheet(a4, tag) == 9);
  CHECK(cards_per_sheet(letter, postcard) == 2);
  CHECK(plan_sheet(a4, a5).turned);
  CHECK_FALSE(plan_sheet(letter, a6).turned);
}

TEST_CASE("A card larger than the sheet is refused") {
  CHECK_THROWS_MATCHES(cards_per_sheet(a6, a5), Error,
                       Message("A card of 148 × 210 mm does not fit a sheet of 105 × 148 mm."));
}

TEST_CASE("Slots lie side by side inside the sheet") {
  const SheetPlan plan = plan_sheet(a4, a6);
  CHECK(plan.slot(0).x == Approx(0));
  CHECK(plan.slot(0).y == Approx(0.5));
  CHECK(plan.slot(3).x == Approx(105));
  CHECK(plan.slot(3).y == Approx(148.5));
  CHECK(plan.slot(3).y + plan.slot(3).height == Approx(296.5));
}

TEST_CASE("What lies behind a place is mirrored from left to right") {
  const SheetPlan plan = plan_sheet(a4, tag);  // three beside each other
  const std::vector<int> behind{2, 1, 0, 5, 4, 3, 8, 7, 6};
  for (int place = 0; place < 9; ++place) {
    CHECK(plan.behind(place) == behind[static_cast<std::size_t>(place)]);
    const Rect front = plan.slot(place);
    const Rect back = plan.slot(plan.behind(place));
    CHECK(back.y == Approx(front.y));
    CHECK(back.x == Approx(a4.width - front.x - front.width));
  }
}

TEST_CASE("Cut marks lie on the cuts and inside the printable part") {
  for (const Size sheet : {a4, letter})
    for (const Size card : {tag, a7, a6, postcard, quarter_letter, a5}) {
      const SheetPlan plan = plan_sheet(sheet, card);
      const auto marks = cut_marks(sheet, plan);
      CHECK_FALSE(marks.empty());
      for (const auto& [from, to] : marks)
        for (const Point& end : {from, to}) {
          CHECK(end.x >= unprintable);
          CHECK(end.x <= sheet.width - unprintable);
          CHECK(end.y >= unprintable);
          CHECK(end.y <= sheet.height - unprintable);
        }
    }
}

TEST_CASE("Four A6 cards on A4 need a cut down the middle and one across") {
  const auto marks = cut_marks(a4, plan_sheet(a4, a6));
  int down = 0, across = 0;
  for (const auto& [from, to] : marks) {
    if (from.x == to.x) {
      CHECK(from.x == Approx(105));
      ++down;
    } else {
      CHECK(from.y == Approx(148.5));
      ++across;
    }
  }
  CHECK(down == 3);  // both ends and the cross
  CHECK(across == 3);
}

TEST_CASE("Two A6 cards on letter are cut out along their outer edges too") {
  // Upper and lower edges; the left and right ones are too near the edge to mark.
  const auto marks = cut_marks(letter, plan_sheet(letter, a6));
  std::vector<double> across;
  for (const auto& [from, to] : marks)
    if (from.y == to.y && from.x == unprintable) across.push_back(from.y);
  CHECK(across.size() == 2);
  CHECK(across.at(0) == Approx(65.7));
  CHECK(across.at(1) == Approx(213.7));
}
