#include "paper/sheet.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/error.h"

namespace trencher::paper {
namespace {

constexpr double mark_length = 4;  // mm
constexpr double cross_arm = 1.5;

SheetPlan upright(Size sheet, Size card) {
  // A hair of tolerance, so that quarter-letter fits four times into letter.
  SheetPlan plan;
  plan.columns = static_cast<int>(std::floor(sheet.width / card.width + 1e-9));
  plan.rows = static_cast<int>(std::floor(sheet.height / card.height + 1e-9));
  const double width = plan.columns * card.width;
  const double height = plan.rows * card.height;
  plan.grid = {(sheet.width - width) / 2, (sheet.height - height) / 2, width, height};
  return plan;
}

bool printable(double at, double length) { return at >= unprintable && at <= length - unprintable; }

// Positions of the cuts along one direction.
std::vector<double> cuts(double start, double length, int parts, double sheet) {
  std::vector<double> out;
  for (int i = 0; i <= parts; ++i) {
    const double at = start + length * i / parts;
    if (printable(at, sheet)) out.push_back(at);
  }
  return out;
}

}  // namespace

Rect SheetPlan::slot(int number) const {
  const double width = grid.width / columns;
  const double height = grid.height / rows;
  const int row = number / columns, column = number % columns;
  return {grid.x + column * width, grid.y + row * height, width, height};
}

int SheetPlan::behind(int number) const {
  return number - number % columns + (columns - 1 - number % columns);
}

SheetPlan plan_sheet(Size sheet, Size card) {
  const SheetPlan straight = upright(sheet, card);
  SheetPlan turned = upright(sheet, {card.height, card.width});
  turned.turned = true;
  const SheetPlan& best = turned.cards() > straight.cards() ? turned : straight;
  if (best.cards() == 0)
    throw Error::request(
        fmt::format("A card of {:g} × {:g} mm does not fit a sheet of {:g} × {:g} mm.", card.width,
                    card.height, sheet.width, sheet.height));
  return best;
}

std::vector<std::pair<Point, Point>> cut_marks(Size sheet, const SheetPlan& plan) {
  const std::vector<double> xs = cuts(plan.grid.x, plan.grid.width, plan.columns, sheet.width);
  const std::vector<double> ys = cuts(plan.grid.y, plan.grid.height, plan.rows, sheet.height);
  const double right = sheet.width - unprintable;
  const double bottom = sheet.height - unprintable;
  std::vector<std::pair<Point, Point>> marks;
  for (const double x : xs) {
    marks.push_back({{x, unprintable}, {x, unprintable + mark_length}});
    marks.push_back({{x, bottom - mark_length}, {x, bottom}});
  }
  for (const double y : ys) {
    marks.push_back({{unprintable, y}, {unprintable + mark_length, y}});
    marks.push_back({{right - mark_length, y}, {right, y}});
  }
  for (const double x : xs)
    for (const double y : ys) {
      marks.push_back(
          {{std::max(x - cross_arm, unprintable), y}, {std::min(x + cross_arm, right), y}});
      marks.push_back(
          {{x, std::max(y - cross_arm, unprintable)}, {x, std::min(y + cross_arm, bottom)}});
    }
  return marks;
}

}  // namespace trencher::paper
