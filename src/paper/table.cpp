#include "paper/table.h"

#include <algorithm>

namespace trencher::paper {
namespace {

constexpr double points = 7.5;
constexpr double padding = 0.9;  // mm above and below a row's text
constexpr double gutter = 2.5;   // mm between columns
const Stroke head_rule{0.35, 0, {}};
const Stroke row_rule{0.12, 0.6, {}};

Style style(Face face) { return {{face, points}, 1.28, 0}; }

struct SetLine {
  std::string text;
  Face face;
  bool struck;
};

using SetCell = std::vector<SetLine>;

class Table {
 public:
  Table(Flow& flow, const std::vector<Column>& columns) : flow_(flow) {
    double shares = 0;
    for (const Column& column : columns) shares += column.share;
    double x = flow.left();
    Row heading;
    for (const Column& column : columns) {
      const double width = flow.width() * column.share / shares;
      lefts_.push_back(x);
      widths_.push_back(width - (&column == &columns.back() ? 0 : gutter));
      x += width;
      heading.push_back({{column.heading, Face::bold, false}});
    }
    heading_ = set(heading);
  }

  void draw(const std::vector<Row>& rows) {
    if (lines_of(heading_) > 0) {
      flow_.need(height(lines_of(heading_)) + height(2));
      draw_heading();
    }
    for (const Row& row : rows) draw_row(set(row));
  }

 private:
  std::vector<SetCell> set(const Row& row) const {
    std::vector<SetCell> cells;
    for (std::size_t i = 0; i < row.size(); ++i) {
      SetCell cell;
      for (const CellText& part : row[i])
        for (std::string& line :
             break_lines(flow_.document(), part.text, style(part.face).font, widths_[i]))
          cell.push_back({std::move(line), part.face, part.struck});
      cells.push_back(std::move(cell));
    }
    return cells;
  }

  static std::size_t lines_of(const std::vector<SetCell>& cells) {
    std::size_t most = 0;
    for (const SetCell& cell : cells) most = std::max(most, cell.size());
    return most;
  }

  static double line_height() { return style(Face::regular).line_height(); }
  static double height(std::size_t lines) {
    return static_cast<double>(lines) * line_height() + 2 * padding;
  }

  void rule(const Stroke& stroke) {
    flow_.document().line({flow_.left(), flow_.y()}, {flow_.left() + flow_.width(), flow_.y()},
                          stroke);
  }

  void draw_heading() {
    draw_part(heading_, 0, lines_of(heading_));
    rule(head_rule);
  }

  // Lines `from` to `until` of every cell.
  void draw_part(const std::vector<SetCell>& cells, std::size_t from, std::size_t until) {
    for (std::size_t i = 0; i < cells.size(); ++i) {
      double y = flow_.y() + padding;
      for (std::size_t n = from; n < std::min(until, cells[i].size()); ++n) {
        const SetLine& line = cells[i][n];
        y = draw_lines(flow_.document(), {lefts_[i], y}, {line.text}, style(line.face),
                       line.struck);
      }
    }
    flow_.skip(height(until - from));
  }

  void next_page() {
    flow_.new_page();
    if (lines_of(heading_) > 0) draw_heading();
  }

  void draw_row(const std::vector<SetCell>& cells) {
    const std::size_t lines = lines_of(cells);
    const bool fits_a_page = height(lines) + height(lines_of(heading_)) <= flow_.page_height();
    if (height(fits_a_page ? lines : 1) > flow_.room()) next_page();
    for (std::size_t from = 0; from < lines;) {
      const auto room = static_cast<std::size_t>((flow_.room() - 2 * padding) / line_height());
      const std::size_t until = std::min(lines, from + room);
      draw_part(cells, from, until);
      if (until < lines) next_page();
      from = until;
    }
    rule(row_rule);
  }

  Flow& flow_;
  std::vector<double> lefts_, widths_;
  std::vector<SetCell> heading_;
};

}  // namespace

void draw_table(Flow& flow, const std::vector<Column>& columns, const std::vector<Row>& rows) {
  Table(flow, columns).draw(rows);
}

}  // namespace trencher::paper
