// The operators of one PDF content stream (ISO 32000-1 annex A), in as few bytes as they can be
// said: what holds already is not set again. Lengths are points with the origin at the bottom left.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trencher::paper {

class Operators {
 public:
  // What is saved is restored; a fresh stream knows nothing of what holds where it is drawn.
  void save();
  void restore();
  void matrix(double a, double b, double c, double d, double e, double f);

  void line_width(double width);
  void stroke_grey(double grey);
  void fill_grey(double grey);
  void dash(const std::vector<int>& lengths);

  void rectangle(double x, double y, double width, double height);
  void move(double x, double y);
  void line(double x, double y);
  void stroke() { word("S"); }
  void fill() { word("f"); }
  void clip();

  // The font by its name in the resources, the text as numbers of 16 bits.
  void text(double x, double y, std::string_view font, double size, std::u32string_view text);
  void object(std::string_view name);  // by its name in the resources

  // What was said since it was last taken.
  std::string take();

 private:
  struct State {
    std::optional<double> line_width, stroke_grey, fill_grey, size;
    std::optional<std::vector<int>> dash;
    std::string font;
  };

  State& now() { return states_.back(); }
  void number(double value);
  void number(double value, int decimals);
  void word(std::string_view name);

  std::string bytes_;
  std::vector<State> states_{1};
};

}  // namespace trencher::paper
