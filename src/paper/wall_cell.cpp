#include "paper/wall_cell.h"

#include <algorithm>
#include <sstream>

#include "paper/wall_marks.h"

namespace trencher::paper {
namespace {

// Of the font's size: the DejaVu Sans tables, 1493 / 2048.
constexpr double cap_height = 0.729;
constexpr double mm_per_point = 25.4 / 72;

// Millimetres.
constexpr double side = 2.2;  // from a rule to what is written
constexpr double top_gap = 1.9;
constexpr double bottom_gap = 1.3;
constexpr double awning_height = 4.2;
constexpr double second_frame = 1.1;
constexpr double ring_gap = 1.1;  // around a sign and its label
constexpr double after_head = 0.5;
constexpr double after_mark = 0.9;
constexpr double beside_number = 2;
constexpr double fold = 7.5;
constexpr double word_gap = 1.2;
// A longer word is split rather than that it widens its column.
constexpr double longest_word = 28;

// The words before the last, and the last.
std::pair<std::string, std::string> split_label(std::string label) {
  label.resize(label.find_last_not_of(' ') + 1);
  const std::size_t space = label.rfind(' ');
  if (space == std::string::npos) return {"", label};
  return {label.substr(0, space), label.substr(space + 1)};
}

}  // namespace

Font font_of_height(Face face, double capitals) {
  return {face, capitals / cap_height / mm_per_point};
}

double small_line(const WallType& type) { return type.small * 1.5; }

std::string words_of(const Words& words, const WallMark& mark) {
  const auto number = [](int value) { return value > 0 ? std::to_string(value) : std::string(); };
  const std::string what =
      words(name_of(mark.kind),
            {{"coat", number(mark.coat)}, {"coats", number(mark.coats)}, {"detail", mark.detail}});
  return mark.guessed ? words("guessed", {{"what", what}}) : what;
}

std::string date_name(const Words& words, Day day) {
  const std::chrono::weekday weekday{std::chrono::sys_days(day)};
  return words("date", {{"weekday", words("weekday-" + std::to_string(weekday.iso_encoding()))},
                        {"day", std::to_string(unsigned(day.day()))},
                        {"month", words("month-" + std::to_string(unsigned(day.month())))}});
}

Day WallPaper::day(std::size_t index) const {
  return std::chrono::sys_days(content.first) + std::chrono::days(index);
}

WallCell::WallCell(const WallPaper& paper, std::size_t index, std::size_t shown,
                   const WallType& type, double width)
    : paper_(paper), index_(index), day_(paper.content.days.at(index)), type_(type), width_(width) {
  double y = head(day_.market ? awning_height + 0.6 : 0, day_.marks.size() - shown);
  for (std::size_t i = 0; i < shown; ++i) y = mark(day_.marks[i], y);
  height_ = y + bottom_gap;
}

double WallCell::inner() const { return width_ - 2 * side; }

bool WallCell::is_today() const { return paper_.content.today == paper_.day(index_); }

void WallCell::need_width(double right, const std::string& text) {
  const double over = right - (width_ - side);
  if (over <= excess_) return;
  excess_ = over;
  widest_ = text;
}

// Returns the right end.
double WallCell::add(double x, double baseline, const std::string& text, Font font) {
  const double width = paper_.document.width(text, font);
  pieces_.push_back({x, baseline, text, font, width});
  return x + width;
}

std::vector<std::string> WallCell::broken(const std::string& text, Face face, double width) const {
  return break_lines(paper_.document, text, font_of_height(face, type_.small), width);
}

double WallCell::widest_word(const std::string& text, Face face) const {
  const Font font = font_of_height(face, type_.small);
  std::istringstream words(text);
  double widest = 0;
  for (std::string word; std::getline(words, word, ' ');)
    widest = std::max(widest, paper_.document.width(word, font));
  return widest;
}

// Words such as "18:00–21:00" in two where they are too wide for a line.
std::string WallCell::parted_at_dashes(const std::string& text, Face face, double width) const {
  constexpr std::string_view dash = "–";
  std::istringstream words(text);
  std::string out;
  for (std::string word; std::getline(words, word, ' ');) {
    const std::size_t at = word.find(dash);
    if (at != std::string::npos && widest_word(word, face) > width)
      word.insert(at + dash.size(), " ");
    out += (out.empty() ? "" : " ") + word;
  }
  return out;
}

// Small text over the width of the cell.
double WallCell::add_small(double y, const std::string& text, Face face) {
  const double widest = widest_word(text, face);
  need_width(side + std::min(widest, longest_word), text);
  return add_lines(side, y, broken(text, face, inner()), face);
}

// Returns where the next line would begin.
double WallCell::add_lines(double x, double y, const std::vector<std::string>& lines, Face face) {
  const double line = small_line(type_);
  for (const std::string& text : lines) {
    add(x, y + (line + type_.small) / 2, text, font_of_height(face, type_.small));
    y += line;
  }
  return y;
}

// The number of the day, and what the day is: beside the number, or under it where that is too
// narrow for a word.
double WallCell::head(double y, std::size_t hidden) {
  const Day day = paper_.day(index_);
  const double top = y + top_gap;
  const double number_end = add(side, top + type_.large, std::to_string(unsigned(day.day())),
                                font_of_height(Face::regular, type_.large));
  need_width(number_end + (is_today() ? fold - side : 0), date_name(paper_.words, day));

  const double beside_x = number_end + beside_number;
  const double beside = width_ - beside_x - (is_today() ? fold + 0.8 : side);
  double beside_y = top - (small_line(type_) - type_.small) / 2;
  double under_y = top + type_.large + after_head;
  bool under = false;
  for (const auto& [text, face] : head_texts(hidden)) {
    const std::string tight = parted_at_dashes(text, face, beside);
    under = under || widest_word(tight, face) > beside;
    if (under)
      under_y = add_small(std::max(under_y, beside_y + after_head), text, face);
    else
      beside_y = add_lines(beside_x, beside_y, broken(tight, face, beside), face);
  }
  return std::max(under_y, beside_y) + after_head;
}

std::vector<std::pair<std::string, Face>> WallCell::head_texts(std::size_t hidden) const {
  const Words& words = paper_.words;
  const Day day = paper_.day(index_);
  std::string names;
  if (index_ % 7 == 0 || day.day() == std::chrono::day{1})
    names = words("month-" + std::to_string(unsigned(day.month())));
  if (is_today()) names += (names.empty() ? "" : ", ") + words("today");
  std::vector<std::pair<std::string, Face>> texts = {{names, Face::bold}};
  if (day_.market) texts.push_back({words("market", {{"name", day_.market_name}}), Face::bold});
  if (day_.off) texts.push_back({words("off"), Face::regular});
  texts.push_back({day_.hours, Face::regular});
  if (hidden > 0) texts.push_back({words("more", {{"count", std::to_string(hidden)}}), Face::bold});
  std::erase_if(texts, [](const auto& text) { return text.first.empty(); });
  return texts;
}

double WallCell::mark(const WallMark& mark, double y) {
  const double baseline = y + ring_gap + type_.large;
  Placed placed{&mark, {side + 0.8, y + ring_gap}, {side - 0.9, y, 0, type_.large + 2 * ring_gap}};
  double x = placed.sign.x + sign_width(mark, type_.large);
  const auto [before, last] = split_label(mark.label);
  if (!before.empty())
    x = add(x + word_gap, baseline, before, font_of_height(Face::regular, type_.small));
  if (!last.empty()) x = add(x + word_gap, baseline, last, font_of_height(Face::bold, type_.large));
  need_width(x + 0.8, mark.label);
  placed.ring.width = x + 1.7 - placed.ring.x;
  marks_.push_back(placed);
  return small_words(mark, y + placed.ring.height) + after_mark;
}

// The time in bold, and the rest after it and on further lines.
double WallCell::small_words(const WallMark& mark, double y) {
  std::string text = words_of(paper_.words, mark);
  if (mark.time.empty()) return add_small(y, text, Face::regular);
  const double time_width =
      paper_.document.width(mark.time, font_of_height(Face::bold, type_.small));
  need_width(side + time_width, mark.time);
  const double below = add_lines(side, y, {mark.time}, Face::bold);
  // With single blanks a first line is what the text begins with.
  constexpr double endless = 1e6;
  for (const std::string& line : broken(text, Face::regular, endless)) text = line;
  const double indent = time_width + word_gap;
  const double room = std::max(inner() - indent, 0.1);
  const std::vector<std::string> lines = broken(text, Face::regular, room);
  const std::size_t beside = lines.empty() ? 0 : lines.front().size();
  const bool whole_words = beside == text.size() || text[beside] == ' ';
  if (!whole_words) return add_small(below, text, Face::regular);
  add_lines(side + indent, y, {text.substr(0, beside)}, Face::regular);
  return add_small(below, text.substr(beside), Face::regular);
}

void draw_day_off(Hand& hand, const Rect& rect) { hand.hatch(rect, 3.2, 0.15); }

void draw_market(Hand& hand, const Rect& rect, double awning_width) {
  draw_awning(hand, {rect.x, rect.y, awning_width, awning_height});
  const double left = rect.x + second_frame;
  const double right = rect.x + rect.width - second_frame;
  const double top = rect.y + awning_height;
  const double bottom = rect.y + rect.height - second_frame;
  hand.curve(
      {{left, top}, {left, bottom}, {left, bottom}, {right, bottom}, {right, bottom}, {right, top}},
      0.5);
}

void WallCell::draw(Document& document, Hand& hand, const Rect& rect) const {
  if (day_.off) draw_day_off(hand, rect);
  if (day_.market) draw_market(hand, rect, rect.width - (is_today() ? fold + 1.5 : 0));
  if (day_.off) clear(document, rect);
  if (is_today()) draw_fold(hand, {rect.x + rect.width - fold, rect.y, fold, fold});
  for (const Placed& placed : marks_) {
    draw_sign(hand, *placed.mark, {rect.x + placed.sign.x, rect.y + placed.sign.y}, type_.large);
    if (placed.mark->guessed)
      hand.broken_ring(
          {rect.x + placed.ring.x, rect.y + placed.ring.y, placed.ring.width, placed.ring.height},
          0.5);
  }
  for (const Piece& piece : pieces_)
    document.text({rect.x + piece.x, rect.y + piece.baseline}, piece.text, piece.font);
}

// White where something is written on the hatching.
void WallCell::clear(Document& document, const Rect& rect) const {
  std::vector<Rect> places;
  for (const Piece& piece : pieces_) {
    const double capitals = piece.font.points * mm_per_point * cap_height;
    const double around = type_.small * 0.3;
    places.push_back({rect.x + piece.x - around, rect.y + piece.baseline - capitals - around,
                      piece.width + 2 * around, capitals + 2 * around + type_.small * 0.2});
  }
  for (const Placed& placed : marks_)
    places.push_back(
        {rect.x + placed.ring.x, rect.y + placed.ring.y, placed.ring.width, placed.ring.height});
  document.fill(places, 1);
}

}  // namespace trencher::paper
