// One day of the wall chart: measured for a width, then drawn.
#pragma once

#include <string>
#include <vector>

#include "paper/hand.h"
#include "paper/phrases.h"
#include "paper/text.h"
#include "paper/wall_chart.h"

namespace trencher::paper {

// Heights of capitals, mm.
struct WallType {
  double large = 0;  // day numbers and labels
  double small = 0;
};

// A font whose capitals are so high.
Font font_of_height(Face face, double capitals);
double small_line(const WallType& type);  // from baseline to baseline of small text, mm

// The small words of a mark without its time and label: "coat 2 of 3, thin, guessed".
std::string words_of(const Words& words, const WallMark& mark);
// "Thu 3 Dec".
std::string date_name(const Words& words, Day day);

// What all cells of a chart have in common.
struct WallPaper {
  const Document& document;
  const Words& words;
  const WallContent& content;

  Day day(std::size_t index) const;
};

// How a day off and a market day look.
void draw_day_off(Hand& hand, const Rect& rect);
void draw_market(Hand& hand, const Rect& rect, double awning_width);

class WallCell {
 public:
  // Of the day's marks the first `shown` are drawn, and how many more there are.
  WallCell(const WallPaper& paper, std::size_t index, std::size_t shown, const WallType& type,
           double width);

  double height() const { return height_; }
  // What is wider than the cell, mm; 0: nothing. Such a cell is not for drawing.
  double excess() const { return excess_; }
  // The label or word that is too wide.
  const std::string& widest() const { return widest_; }
  // Within its rules, which are drawn before.
  void draw(Document& document, Hand& hand, const Rect& rect) const;

 private:
  struct Piece {
    double x = 0, baseline = 0;  // in the cell
    std::string text;
    Font font;
    double width = 0;
  };
  struct Placed {
    const WallMark* mark = nullptr;
    Point sign;
    Rect ring;
  };

  std::vector<std::string> broken(const std::string& text, Face face, double width) const;
  double widest_word(const std::string& text, Face face) const;
  std::string parted_at_dashes(const std::string& text, Face face, double width) const;
  std::vector<std::pair<std::string, Face>> head_texts(std::size_t hidden) const;
  void need_width(double right, const std::string& text);
  double add(double x, double baseline, const std::string& text, Font font);
  double add_lines(double x, double y, const std::vector<std::string>& lines, Face face);
  double add_small(double y, const std::string& text, Face face);
  double head(double y, std::size_t hidden);
  double mark(const WallMark& mark, double y);
  double small_words(const WallMark& mark, double y);
  void clear(Document& document, const Rect& rect) const;
  double inner() const;
  bool is_today() const;

  const WallPaper& paper_;
  std::size_t index_;
  const WallDay& day_;
  WallType type_;
  double width_;
  double height_ = 0;
  double excess_ = 0;
  std::string widest_;
  std::vector<Piece> pieces_;
  std::vector<Placed> marks_;
};

}  // namespace trencher::paper
