// The signs of the wall chart: a few strokes each, told apart without any grey.
#pragma once

#include <string_view>

#include "paper/hand.h"
#include "paper/wall_chart.h"

namespace trencher::paper {

// The name of a kind's phrase: "glue-up".
std::string_view name_of(WallKind kind);

// As wide as it is high, except that coats take more or less by their number.
double sign_width(const WallMark& mark, double height);

// A coat: one stroke of the brush for each coat, those up to this one full and the others hollow,
// in rows of at most five. A mark of food contact is a slice of bread, and so on.
void draw_sign(Hand& hand, const WallMark& mark, Point top_left, double height);

// An awning in stripes along the top of the rectangle.
void draw_awning(Hand& hand, const Rect& rect);

// The upper right corner of a sheet of paper, folded down, in a square.
void draw_fold(Hand& hand, const Rect& square);

}  // namespace trencher::paper
