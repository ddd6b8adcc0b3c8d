// How cards share a sheet, and where to cut.
#pragma once

#include <vector>

#include "paper/document.h"

namespace trencher::paper {

struct SheetPlan {
  int columns = 0;
  int rows = 0;
  bool turned = false;  // cards lie on their side
  Rect grid;            // all slots together, centred on the sheet

  int cards() const { return columns * rows; }
  Rect slot(int number) const;  // 0-based, row by row
  // The place that lies behind it when the sheet is turned over its long edge.
  int behind(int number) const;
};

// The plan that holds more cards; upright where both hold as many. No card fits: Error request.
SheetPlan plan_sheet(Size sheet, Size card);

// Printers reach all but this much at each edge of a sheet, mm: common practice, no source.
inline constexpr double unprintable = 5;

// Strokes on the lines to cut along: a short one at both ends of each cut and a small cross where
// two cuts meet inside. All inside the printable part of the sheet; where a cut runs along the very
// edge there is nothing to cut.
std::vector<std::pair<Point, Point>> cut_marks(Size sheet, const SheetPlan& plan);

}  // namespace trencher::paper
