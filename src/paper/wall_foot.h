// The foot of the wall chart: what its days have no room for, its signs and their names, and notes.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "paper/wall_cell.h"

namespace trencher::paper {

class WallFoot {
 public:
  WallFoot(const WallPaper& paper, double width);

  double height() const;  // of signs and notes
  // The box that lists marks: lines that one of a day takes in it, and its height with so many.
  std::size_t rest_lines(std::size_t day, std::size_t mark) const;
  double rest_height(std::size_t lines) const;

  void draw(Document& document, Hand& hand, Point top_left) const;
  // Lists the marks of each day from `shown` on. Returns the height; 0: there are none.
  double draw_rest(Document& document, Hand& hand, Point top_left,
                   const std::vector<std::size_t>& shown) const;

 private:
  struct Sign {
    std::string name;
    double width = 0;  // of the sign alone
    std::function<void(Hand&, Point)> draw;
    Point at;
  };
  struct Line {
    std::string text;
    Face face;
  };
  struct RestLine {
    std::string date;
    std::string text;
    bool first = true;  // of its entry
  };

  void add_signs();
  void add_notes();
  void add_note(const std::string& text, Face face);
  void place_signs();
  void measure_dates();
  bool any_day(const std::function<bool(const WallDay&)>& test) const;
  bool any_mark(const std::function<bool(const WallMark&)>& test) const;
  std::vector<RestLine> rest(std::size_t day, std::size_t mark) const;

  const WallPaper& paper_;
  double width_;
  double dates_ = 0;  // width of the widest date, and the gap after it
  std::vector<Sign> signs_;
  double signs_height_ = 0;
  std::vector<Line> notes_;
};

}  // namespace trencher::paper
