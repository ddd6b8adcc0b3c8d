#include "paper/hand.h"

#include <algorithm>
#include <cmath>
#include <cstdint>
#include <numbers>

namespace trencher::paper {
namespace {

Point along(Point from, Point to, double share) {
  return {from.x + (to.x - from.x) * share, from.y + (to.y - from.y) * share};
}

// Between b and c, on the curve of Catmull and Rom through all four.
Point between(Point a, Point b, Point c, Point d, double t) {
  const auto one = [t](double p, double q, double r, double s) {
    return 0.5 * (2 * q + (r - p) * t + (2 * p - 5 * q + 4 * r - s) * t * t +
                  (3 * q - p - 3 * r + s) * t * t * t);
  };
  return {one(a.x, b.x, c.x, d.x), one(a.y, b.y, c.y, d.y)};
}

}  // namespace

// Multiply and shift, as in common integer hashes: any mixing does that looks like no pattern.
double Hand::uneven() {
  std::uint32_t mixed = ++drawn_ * 0x9E3779B1u;
  mixed = (mixed ^ (mixed >> 15)) * 0x85EBCA77u;
  mixed ^= mixed >> 13;
  return static_cast<double>(mixed % 2001) / 1000 - 1;
}

void Hand::rule(Point from, Point to, double width) {
  const double length = std::hypot(to.x - from.x, to.y - from.y);
  if (length <= 0) return;
  const Point ahead{(to.x - from.x) / length, (to.y - from.y) / length};
  const auto pass = [&](double start, double end, double stray, double thickness) {
    std::vector<Point> points;
    const int pieces = std::max(2, static_cast<int>(length / 14));
    for (int i = 0; i <= pieces; ++i) {
      const Point at =
          along({from.x + ahead.x * start, from.y + ahead.y * start},
                {from.x + ahead.x * end, from.y + ahead.y * end}, static_cast<double>(i) / pieces);
      const double off = stray * uneven();
      points.push_back({at.x - ahead.y * off, at.y + ahead.x * off});
    }
    curve(points, thickness);
  };
  const auto overrun = [this] { return longest_overrun * (0.65 + 0.35 * uneven()); };
  const double before = overrun();
  pass(-before, length + overrun(), 0.12, width);
  pass(length * (0.04 + 0.03 * uneven()), length * (0.9 + 0.08 * uneven()), 0.3, width * 0.35);
}

void Hand::curve(const std::vector<Point>& points, double width) {
  constexpr int parts = 8;  // of each piece
  if (points.size() < 2) return;
  const auto same = [](Point a, Point b) { return a.x == b.x && a.y == b.y; };
  std::vector<Point> line = {points.front()};
  const std::size_t last = points.size() - 1;
  for (std::size_t i = 0; i < last; ++i) {
    const Point from = points[i], to = points[i + 1];
    if (same(from, to)) continue;
    // At an end or a corner the curve leaves straight.
    const Point before = i > 0 ? points[i - 1] : from;
    const Point after = i + 1 < last ? points[i + 2] : to;
    if (same(before, from) && same(to, after)) {
      line.push_back(to);
      continue;
    }
    for (int part = 1; part <= parts; ++part)
      line.push_back(between(before, from, to, after, static_cast<double>(part) / parts));
  }
  document_.polyline(line, {width, 0, {}});
}

void Hand::broken_ring(const Rect& rect, double width) {
  const double inset = width / 2 + 0.15;
  const double radius = std::min(rect.width, rect.height) / 3.4;
  std::vector<Point> line;
  constexpr int steps = 10;  // of each corner
  for (int corner = 0; corner < 4; ++corner)
    for (int step = 0; step <= steps; ++step) {
      const double turn = (corner + static_cast<double>(step) / steps) * std::numbers::pi / 2;
      const bool right = corner == 0 || corner == 3;
      const bool low = corner < 2;
      const double off = inset + 0.12 * uneven();
      line.push_back({(right ? rect.x + rect.width - radius : rect.x + radius) +
                          (radius - off) * std::cos(turn),
                      (low ? rect.y + rect.height - radius : rect.y + radius) +
                          (radius - off) * std::sin(turn)});
    }
  line.push_back(line.front());
  document_.polyline(line, {width, 0, {1.5, 1}});
}

void Hand::hatch(const Rect& rect, double spacing, double width) {
  document_.clipped(rect, [&] {
    for (double at = rect.x + spacing / 2; at < rect.x + rect.width + rect.height; at += spacing) {
      const double start = at + 0.2 * uneven();
      document_.line({start, rect.y}, {start - rect.height + 0.5 * uneven(), rect.y + rect.height},
                     {width, 0, {}});
    }
  });
}

void Hand::brush(const Rect& rect, bool full) {
  const double slant = rect.width * 0.4;
  const double thick = rect.width - slant;
  const auto top = [&](double share) { return Point{rect.x + slant + thick * share, rect.y}; };
  const auto foot = [&](double share, double lift) {
    return Point{rect.x + thick * share + slant * lift, rect.y + rect.height * (1 - lift)};
  };
  if (!full) {
    const double width = std::max(rect.height * 0.045, 0.13);
    const double in = width / 2 / thick;
    document_.polyline(std::vector<Point>{top(in), top(1 - in), foot(1 - in, 0), foot(in, 0),
                                          top(in), top(1 - in)},
                       {width, 0, {}});
    return;
  }
  constexpr int hairs = 5;
  for (int hair = 0; hair < hairs; ++hair) {
    const double share = (hair + 0.5) / hairs;
    document_.line({top(share).x, rect.y + rect.height * 0.03 * (1 + uneven())},
                   foot(share, 0.1 * (1 + uneven())), {thick / hairs * 1.25, 0, {}});
  }
}

void Hand::area(const Rect& rect, const Edge& top, const Edge& bottom, double grey) {
  constexpr int slices = 32;
  const double width = rect.width / slices;
  std::vector<Rect> all;
  for (int i = 0; i < slices; ++i) {
    const double place = (i + 0.5) / slices;
    const double from = top(place);
    const double until = bottom(place);
    if (until > from)
      all.push_back(
          {rect.x + i * width, rect.y + from * rect.height, width, (until - from) * rect.height});
  }
  document_.fill(all, grey);
}

}  // namespace trencher::paper
