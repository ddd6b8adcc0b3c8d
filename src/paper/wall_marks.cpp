#include "paper/wall_marks.h"

#include <algorithm>
#include <array>
#include <cmath>

namespace trencher::paper {
namespace {

struct SignStroke {
  double width;               // like the points in heights of the sign
  std::vector<Point> points;  // a point given twice is a corner
};

using Sign = std::vector<SignStroke>;

constexpr double thin = 0.05;
constexpr double pen = 0.075;
constexpr double thick = 0.13;

SignStroke straight(double width, Point from, Point to) { return {width, {from, to}}; }

SignStroke box(double left, double top, double right, double bottom, double width = pen) {
  const Point a{left, top}, b{right, top}, c{right, bottom}, d{left, bottom};
  return {width, {a, b, b, c, c, d, d, a, a, b}};  // a little further, so that the corner closes
}

// Two boards pressed together.
Sign glue_up() {
  Sign sign = {box(0.33, 0.06, 0.5, 0.94), box(0.5, 0.06, 0.67, 0.94)};
  for (const bool right : {false, true}) {
    const auto x = [right](double at) { return right ? 1 - at : at; };
    sign.push_back(straight(pen, {x(0), 0.5}, {x(0.26), 0.5}));
    sign.push_back({pen, {{x(0.12), 0.34}, {x(0.28), 0.5}, {x(0.28), 0.5}, {x(0.12), 0.66}}});
  }
  return sign;
}

// A block on grit.
Sign sand() {
  Sign sign = {box(0.06, 0.12, 0.94, 0.56)};
  for (const auto& [y, start] : {std::pair{0.74, 0.0}, {0.92, 0.1}})
    for (int i = 0; i < 5; ++i)
      sign.push_back(straight(0.1, {start + i * 0.2, y}, {start + i * 0.2 + 0.1, y}));
  return sign;
}

// A drop, and hairs that stand up.
Sign raise_grain() {
  Sign sign = {{pen,
                {{0.5, 0},
                 {0.5, 0},
                 {0.33, 0.28},
                 {0.36, 0.48},
                 {0.5, 0.56},
                 {0.64, 0.48},
                 {0.67, 0.28},
                 {0.5, 0},
                 {0.5, 0}}},
               straight(pen, {0, 0.95}, {1, 0.95})};
  for (int i = 0; i < 5; ++i)
    sign.push_back(straight(pen, {0.1 + i * 0.2, 0.95}, {0.14 + i * 0.2, 0.7}));
  return sign;
}

// Scratches to and fro.
Sign scuff() {
  Sign sign;
  for (int i = 0; i < 4; ++i) {
    const double at = i * 0.22;
    sign.push_back(straight(thin, {at, 0.95 - 0.05 * (i % 2)}, {at + 0.34, 0.06}));
    sign.push_back(straight(thin, {0, at + 0.12}, {1, at + 0.2}));
  }
  return sign;
}

// An eye.
Sign inspect() {
  return {
      {pen, {{0, 0.52}, {0.22, 0.26}, {0.5, 0.16}, {0.78, 0.26}, {1, 0.52}}},
      {pen, {{0, 0.52}, {0.22, 0.76}, {0.5, 0.86}, {0.78, 0.76}, {1, 0.52}}},
      {0.16, {{0.58, 0.51}, {0.5, 0.59}, {0.42, 0.51}, {0.5, 0.43}, {0.58, 0.51}, {0.5, 0.59}}}};
}

// A mallet.
Sign other_work() { return {box(0.1, 0.06, 0.9, 0.42), straight(thick, {0.5, 0.42}, {0.5, 1})}; }

// A slice of bread with crumbs.
Sign food_contact() {
  return {{0.09,
           {{0.18, 0.97},
            {0.18, 0.97},
            {0.17, 0.52},
            {0.03, 0.34},
            {0.13, 0.1},
            {0.5, 0.04},
            {0.87, 0.1},
            {0.97, 0.34},
            {0.83, 0.52},
            {0.82, 0.97},
            {0.82, 0.97},
            {0.18, 0.97},
            {0.18, 0.97},
            {0.18, 0.8}}},
          straight(0.08, {0.34, 0.36}, {0.43, 0.33}),
          straight(0.08, {0.58, 0.3}, {0.67, 0.33}),
          straight(0.08, {0.44, 0.56}, {0.53, 0.58}),
          straight(0.08, {0.36, 0.77}, {0.45, 0.74}),
          straight(0.08, {0.6, 0.74}, {0.68, 0.77})};
}

// An hour-glass that has nearly run out.
Sign latest() {
  Sign sign = {
      straight(thick, {0.08, 0.06}, {0.92, 0.06}), straight(thick, {0.08, 0.94}, {0.92, 0.94}),
      straight(pen, {0.18, 0.06}, {0.82, 0.94}), straight(pen, {0.82, 0.06}, {0.18, 0.94})};
  for (double y = 0.68; y < 0.9; y += 0.07) {
    const double half = (y - 0.5) * 0.7;
    sign.push_back(straight(0.08, {0.5 - half, y}, {0.5 + half, y}));
  }
  return sign;
}

// A parcel with a bow.
Sign promised() {
  return {box(0.04, 0.38, 0.96, 0.97),
          straight(thin, {0.5, 0.38}, {0.5, 0.97}),
          straight(thin, {0.04, 0.66}, {0.96, 0.66}),
          {pen,
           {{0.5, 0.38},
            {0.5, 0.38},
            {0.3, 0.04},
            {0.14, 0.16},
            {0.5, 0.38},
            {0.86, 0.16},
            {0.7, 0.04},
            {0.5, 0.38},
            {0.5, 0.38}}}};
}

// A cloth hung over a line.
Sign rags() {
  return {straight(pen, {0, 0.1}, {1, 0.1}),
          {pen,
           {{0.16, 0.1},
            {0.16, 0.1},
            {0.13, 0.88},
            {0.13, 0.88},
            {0.3, 0.96},
            {0.48, 0.84},
            {0.66, 0.96},
            {0.87, 0.86},
            {0.87, 0.86},
            {0.84, 0.1},
            {0.84, 0.1}}},
          {thin, {{0.36, 0.12}, {0.33, 0.5}, {0.36, 0.72}}},
          {thin, {{0.62, 0.12}, {0.66, 0.4}, {0.62, 0.76}}}};
}

struct Kind {
  std::string_view name;
  Sign (*sign)();
};

// In the order of WallKind; coats are drawn by number.
constexpr std::array<Kind, 11> kinds = {{{"coat", nullptr},
                                         {"glue-up", glue_up},
                                         {"sand", sand},
                                         {"raise-grain", raise_grain},
                                         {"scuff", scuff},
                                         {"inspect", inspect},
                                         {"other", other_work},
                                         {"food-contact", food_contact},
                                         {"latest", latest},
                                         {"promised", promised},
                                         {"rags", rags}}};

const Kind& kind_of(WallKind kind) { return kinds.at(static_cast<std::size_t>(kind)); }

// Strokes of a coat, in rows.
struct Tally {
  int strokes, rows, columns;
  double row_height, pitch, stroke_width;

  Tally(const WallMark& mark, double height)
      : strokes(std::max(mark.coat, mark.coats)),
        rows((strokes + 4) / 5),
        columns((strokes + rows - 1) / rows),
        row_height(height / rows),
        pitch(row_height * 0.38),
        stroke_width(row_height * 0.38) {}
};

double top(double) { return 0; }
double bottom(double) { return 1; }

}  // namespace

std::string_view name_of(WallKind kind) { return kind_of(kind).name; }

double sign_width(const WallMark& mark, double height) {
  if (mark.kind != WallKind::coat) return height;
  const Tally tally(mark, height);
  return (tally.columns - 1) * tally.pitch + tally.stroke_width;
}

void draw_sign(Hand& hand, const WallMark& mark, Point top_left, double height) {
  if (mark.kind == WallKind::coat) {
    const Tally tally(mark, height);
    const double stroke_height = tally.row_height * (tally.rows > 1 ? 0.86 : 1);
    for (int i = 0; i < tally.strokes; ++i) {
      const int row = i / tally.columns, column = i % tally.columns;
      hand.brush({top_left.x + column * tally.pitch, top_left.y + row * tally.row_height,
                  tally.stroke_width, stroke_height},
                 i < mark.coat);
    }
    return;
  }
  for (SignStroke& stroke : kind_of(mark.kind).sign()) {
    for (Point& point : stroke.points)
      point = {top_left.x + point.x * height, top_left.y + point.y * height};
    hand.curve(stroke.points, stroke.width * height);
  }
}

void draw_awning(Hand& hand, const Rect& rect) {
  constexpr double wish = 4.4;  // width of a stripe, mm
  constexpr double straight_part = 0.62;
  // Black at both ends.
  const int stripes = std::max(3, 2 * static_cast<int>(rect.width / wish / 2) + 1);
  const double width = rect.width / stripes;
  const auto scallop = [](double at) {
    return straight_part + (1 - straight_part) * std::sqrt(1 - std::pow(2 * at - 1, 2));
  };
  for (int i = 0; i < stripes; ++i) {
    const Rect stripe{rect.x + i * width, rect.y, width, rect.height};
    const bool black = i % 2 == 0;
    hand.area(stripe, top, scallop, black ? 0 : 1);
    if (black) continue;
    std::vector<Point> edge;
    constexpr int steps = 12;
    for (int step = 0; step <= steps; ++step) {
      const double at = static_cast<double>(step) / steps;
      edge.push_back({stripe.x + at * width, stripe.y + scallop(at) * stripe.height});
    }
    hand.curve(edge, 0.3);
  }
}

void draw_fold(Hand& hand, const Rect& square) {
  const auto diagonal = [](double at) { return at; };
  // The corner is gone, with the rules along it and what of them runs past it.
  constexpr double rules = 0.6;
  constexpr double past = longest_overrun + 0.2;
  const double right = square.x + square.width;
  hand.area({square.x, square.y - rules, square.width + rules, square.height + rules}, top,
            diagonal, 1);
  hand.area({right - rules, square.y - past, 2 * rules, past}, top, bottom, 1);
  hand.area({right, square.y - rules, past, 2 * rules}, top, bottom, 1);
  // Its back.
  hand.area(square, diagonal, bottom);
}

}  // namespace trencher::paper
