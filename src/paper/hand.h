// Drawing as with a pencil and a straight edge: a little uneven, and in the same way every time.
#pragma once

#include <functional>
#include <vector>

#include "paper/document.h"

namespace trencher::paper {

// A ruled line runs past its ends by at most so much, mm, and off its way by less than 0.4 mm.
inline constexpr double longest_overrun = 2.2;

class Hand {
 public:
  explicit Hand(Document& document) : document_(document) {}

  // Along a straight edge and a little beyond, gone over once more.
  void rule(Point from, Point to, double width);
  // Through the points, along a smooth curve. A point given twice is a corner.
  void curve(const std::vector<Point>& points, double width);
  // A ring with round corners, just inside the rectangle, in a broken line.
  void broken_ring(const Rect& rect, double width);
  // Slanted lines, inside the rectangle only.
  void hatch(const Rect& rect, double spacing, double width);
  // One stroke of a brush, slanting within its rectangle: full, or only its outline.
  void brush(const Rect& rect, bool full);
  // The area between two edges, each a depth from 0 to 1 at a place from 0 to 1 across.
  using Edge = std::function<double(double)>;
  void area(const Rect& rect, const Edge& top, const Edge& bottom, double grey = 0);

 private:
  double uneven();  // -1 to 1

  Document& document_;
  unsigned drawn_ = 0;
};

}  // namespace trencher::paper
