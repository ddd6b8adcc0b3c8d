#include "paper/wall_foot.h"

#include <algorithm>

#include "paper/wall_marks.h"

namespace trencher::paper {
namespace {

// Millimetres.
constexpr WallType type{7, 2.5};
constexpr double sign_height = 4.8;
constexpr double wide_sign = 7.5;
constexpr double sign_row = 6.4;
constexpr double after_sign = 1.5;
constexpr double between_signs = 5;
constexpr double before_notes = 0.4;
constexpr int rest_columns = 3;
constexpr double rest_inset = 2;
constexpr double rest_gap = 5;
constexpr double after_date = 2;

const Font regular = font_of_height(Face::regular, type.small);
const Font bold = font_of_height(Face::bold, type.small);

double lines_height(std::size_t lines) { return static_cast<double>(lines) * small_line(type); }

double baseline(double top) { return top + (small_line(type) + type.small) / 2; }

std::size_t rest_rows(std::size_t lines) { return (lines + rest_columns - 1) / rest_columns; }

}  // namespace

WallFoot::WallFoot(const WallPaper& paper, double width) : paper_(paper), width_(width) {
  add_signs();
  place_signs();
  add_notes();
  measure_dates();
}

bool WallFoot::any_day(const std::function<bool(const WallDay&)>& test) const {
  return std::any_of(paper_.content.days.begin(), paper_.content.days.end(), test);
}

bool WallFoot::any_mark(const std::function<bool(const WallMark&)>& test) const {
  return any_day(
      [&](const WallDay& day) { return std::any_of(day.marks.begin(), day.marks.end(), test); });
}

// Only of what is on the chart.
void WallFoot::add_signs() {
  const Words& words = paper_.words;
  for (WallKind kind = WallKind::coat; kind <= WallKind::rags;
       kind = static_cast<WallKind>(static_cast<int>(kind) + 1)) {
    if (!any_mark([kind](const WallMark& mark) { return mark.kind == kind; })) continue;
    WallMark mark;
    mark.kind = kind;
    mark.coat = 2;
    mark.coats = 3;
    signs_.push_back({words("key-" + std::string(name_of(kind))), sign_width(mark, sign_height),
                      [mark](Hand& hand, Point at) { draw_sign(hand, mark, at, sign_height); }});
  }
  const auto wide = [](Point at) { return Rect{at.x, at.y, wide_sign, sign_height}; };
  if (any_day([](const WallDay& day) { return day.market; }))
    signs_.push_back({words("key-market"), wide_sign,
                      [wide](Hand& hand, Point at) { draw_awning(hand, wide(at)); }});
  if (any_day([](const WallDay& day) { return day.off; }))
    signs_.push_back({words("key-off"), wide_sign,
                      [wide](Hand& hand, Point at) { draw_day_off(hand, wide(at)); }});
  if (any_mark([](const WallMark& mark) { return mark.guessed; }))
    signs_.push_back({words("key-guessed"), wide_sign,
                      [wide](Hand& hand, Point at) { hand.broken_ring(wide(at), 0.5); }});
}

void WallFoot::place_signs() {
  double x = 0, y = 0;
  for (Sign& sign : signs_) {
    const double width = sign.width + after_sign + paper_.document.width(sign.name, regular);
    if (x > 0 && x + width > width_) {
      x = 0;
      y += sign_row;
    }
    sign.at = {x, y};
    x += width + between_signs;
  }
  signs_height_ = signs_.empty() ? 0 : y + sign_row + before_notes;
}

void WallFoot::add_note(const std::string& text, Face face) {
  for (const std::string& line :
       break_lines(paper_.document, text, face == Face::bold ? bold : regular, width_))
    notes_.push_back({line, face});
}

void WallFoot::add_notes() {
  const Words& words = paper_.words;
  if (paper_.content.self_heating) add_note(words("rags-note"), Face::bold);
  std::string text = words("ready-note");
  if (any_mark([](const WallMark& mark) { return mark.guessed; }))
    text += " " + words("guessed-note");
  text += " " + words("label-note");
  for (const std::string& note : paper_.content.notes) text += " " + note;
  add_note(text, Face::regular);
}

double WallFoot::height() const { return signs_height_ + lines_height(notes_.size()); }

void WallFoot::draw(Document& document, Hand& hand, Point top_left) const {
  for (const Sign& sign : signs_) {
    const Point at{top_left.x + sign.at.x, top_left.y + sign.at.y};
    sign.draw(hand, at);
    document.text({at.x + sign.width + after_sign, at.y + (sign_height + type.small) / 2},
                  sign.name, regular);
  }
  double y = top_left.y + signs_height_;
  for (const Line& line : notes_) {
    document.text({top_left.x, baseline(y)}, line.text, line.face == Face::bold ? bold : regular);
    y += small_line(type);
  }
}

void WallFoot::measure_dates() {
  for (std::size_t day = 0; day < paper_.content.days.size(); ++day)
    dates_ = std::max(
        dates_, after_date + paper_.document.width(date_name(paper_.words, paper_.day(day)), bold));
}

// Each entry names its day, so that none is read as another day's.
std::vector<WallFoot::RestLine> WallFoot::rest(std::size_t day, std::size_t mark) const {
  const double column = (width_ - 2 * rest_inset - (rest_columns - 1) * rest_gap) / rest_columns;
  const WallMark& what = paper_.content.days.at(day).marks.at(mark);
  std::string text = what.label.empty() ? "" : what.label + ": ";
  if (!what.time.empty()) text += what.time + " ";
  text += words_of(paper_.words, what);
  const std::string date = date_name(paper_.words, paper_.day(day));
  std::vector<RestLine> lines;
  for (const std::string& line : break_lines(paper_.document, text, regular, column - dates_))
    lines.push_back({date, line, lines.empty()});
  return lines;
}

std::size_t WallFoot::rest_lines(std::size_t day, std::size_t mark) const {
  return rest(day, mark).size();
}

double WallFoot::rest_height(std::size_t lines) const {
  // The first line is the heading.
  return lines == 0 ? 0 : 2 * rest_inset + lines_height(1 + rest_rows(lines));
}

double WallFoot::draw_rest(Document& document, Hand& hand, Point top_left,
                           const std::vector<std::size_t>& shown) const {
  std::vector<RestLine> lines;
  for (std::size_t day = 0; day < shown.size(); ++day)
    for (std::size_t mark = shown[day]; mark < paper_.content.days[day].marks.size(); ++mark)
      for (const RestLine& line : rest(day, mark)) lines.push_back(line);
  if (lines.empty()) return 0;
  const double height = rest_height(lines.size());
  const double right = top_left.x + width_, low = top_left.y + height;
  for (const double y : {top_left.y, low}) hand.rule({top_left.x, y}, {right, y}, 0.4);
  for (const double x : {top_left.x, right}) hand.rule({x, top_left.y}, {x, low}, 0.4);
  const double left = top_left.x + rest_inset;
  const double top = top_left.y + rest_inset;
  document.text({left, baseline(top)}, paper_.words("rest"), bold);
  const double pitch = (width_ - 2 * rest_inset + rest_gap) / rest_columns;
  const std::size_t rows = rest_rows(lines.size());
  for (std::size_t i = 0; i < lines.size(); ++i) {
    const std::size_t column = i / rows;
    const double x = left + static_cast<double>(column) * pitch;
    const double y = baseline(top + lines_height(1 + i % rows));
    const bool goes_on = !lines[i].first && i % rows == 0;  // from the column before
    if (lines[i].first || goes_on) document.text({x, y}, lines[i].date, bold);
    document.text({x + dates_, y}, (goes_on ? "… " : "") + lines[i].text, regular);
  }
  return height;
}

}  // namespace trencher::paper
