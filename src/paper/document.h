// A PDF file in the making: the one place that knows the PDF library.
//
// Lengths are millimetres with the origin at the top left of the page, or of the frame that one
// draws in; sizes of type are points. Text is UTF-8 in two embedded faces. A text that is not valid
// UTF-8, holds a control character, or holds a character that the faces lack is Error request
// naming the character; nothing is ever left out or drawn as a box. Whatever the library itself
// refuses is Error book, after which the document is only good for destroying.
#pragma once

#include <chrono>
#include <filesystem>
#include <functional>
#include <memory>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "paper/size.h"

namespace trencher::paper {

enum class Face { regular, bold };

struct Font {
  Face face = Face::regular;
  double points = 9;
};

struct Point {
  double x = 0;
  double y = 0;  // downwards
};

struct Rect {
  double x = 0;  // left
  double y = 0;  // top
  double width = 0;
  double height = 0;
};

struct Stroke {
  double width = 0.2;
  double grey = 0;           // 0 black to 1 white
  std::vector<double> dash;  // lengths on and off; empty: solid
};

// A part of the page with its own origin, in which drawing is done upright.
struct Frame {
  Rect place;              // on the page, or in the frame around this one
  double scale = 1;        // millimetres to one unit of the frame
  bool turned = false;     // a quarter turn: the frame's width runs up the page
  bool other_way = false;  // with it: the width runs down
};

// What is drawn once and placed as often as wanted: the file holds it once, and what looks alike
// likewise.
enum class Stamp : int {};

class Document {
 public:
  // Starts without a page. `made_at` becomes the creation date: the same calls give the same bytes.
  Document(Size sheet, const std::string& title, std::chrono::sys_seconds made_at);
  ~Document();
  Document(const Document&) = delete;
  Document& operator=(const Document&) = delete;

  Size sheet() const;
  int pages() const;
  void add_page();             // and goes on drawing there
  void select_page(int page);  // 0-based: goes on drawing on a page made before

  // Width of the text on one line.
  double width(std::string_view text, Font font) const;
  void text(Point baseline, std::string_view text, Font font, double grey = 0);

  void line(Point from, Point to, const Stroke& stroke);
  void polyline(std::span<const Point> points, const Stroke& stroke);
  void outline(const Rect& rect, const Stroke& stroke);
  void fill(std::span<const Rect> rects, double grey);  // as one path: no seams between neighbours
  void fill(const Rect& rect, double grey);

  // Black cells of a grid whose squares are `side` wide, in whole squares from its top left, as one
  // path.
  void fill_cells(Point top_left, double side, std::span<const Rect> cells);

  // Draws `body` on a stamp of that size, beyond which nothing is drawn; no pictures. Then draw()
  // places it on a page, its top left where that of the page or the frame is, which must be of the
  // same height.
  Stamp stamp(Size size, const std::function<void()>& body);
  void draw(Stamp stamp);

  // A JPEG that plain_picture made, and no other: as large as fits into the rectangle, in its
  // middle. Bytes drawn before are not embedded again.
  void picture(const Rect& rect, std::string_view plain_jpeg);

  // Draws `body` inside the rectangle only.
  void clipped(const Rect& rect, const std::function<void()>& body);
  // Draws `body` in a frame's own units and origin; its place is in the units of the frame around
  // it.
  void framed(const Frame& frame, const std::function<void()>& body);

  // The finished file.
  std::string bytes();
  void save(const std::filesystem::path& path);  // as write_file_whole

 private:
  struct Library;
  std::unique_ptr<Library> library_;
};

}  // namespace trencher::paper
