#include "paper/flow.h"

namespace trencher::paper {
namespace {

const Style heading_style{{Face::bold, 11}, 1.3, 0};
constexpr double above_heading = 6;
constexpr double below_heading = 1.5;

}  // namespace

Flow::Flow(Document& document, const Margins& margins) : document_(document), margins_(margins) {
  new_page();
}

void Flow::new_page() {
  document_.add_page();
  y_ = margins_.top;
}

void Flow::need(double height) {
  if (height > room() && y_ > margins_.top) new_page();
}

Rect Flow::take(double height, const std::string& what) {
  if (height > page_height()) refuse_excess(what, height - page_height(), "high");
  need(height);
  const Rect rect{left(), y_, width(), height};
  y_ += height;
  return rect;
}

void Flow::paragraph(std::string_view text, const Style& style) {
  for (const std::string& line : break_lines(document_, text, style.font, width())) {
    need(style.line_height());
    y_ = draw_lines(document_, {left(), y_}, {line}, style);
  }
}

void Flow::heading(std::string_view text, double following) {
  if (y_ > margins_.top) y_ += above_heading;
  need(heading_style.line_height() + below_heading + following);
  paragraph(text, heading_style);
  y_ += below_heading;
}

}  // namespace trencher::paper
