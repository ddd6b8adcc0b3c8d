#include "paper/card_layout.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>
#include <string_view>
#include <vector>

#include "paper/qr.h"
#include "paper/strips.h"
#include "paper/text.h"

namespace trencher::paper {
namespace {

// Millimetres.
constexpr double margin =
    7;  // beyond what printers leave blank, should a card lie at a sheet's edge
constexpr double band_height = 4;
constexpr double smallest_gap = 0.9;  // between sections
constexpr double comfortable_gap = 1.8;
constexpr double largest_gap = 3;
constexpr double paragraph_share = 0.35;  // the gap between paragraphs, in gaps between sections
constexpr double qr_side = 18;

// The smallest type has small letters 1.25 mm high. 1.2 mm is what EU 1169/2011 art. 13(2) asks of
// food labels (from memory); a card is none, but is read in the same place.
constexpr double smallest_type = 6.5;
constexpr double type_step = 0.25;

// 8 points on an A6 card, more on a larger one.
double largest_type(Size card) {
  return std::floor(8 * card.width / a6.width / type_step) * type_step;
}

const Stroke rule{0.25, 0, {}};
const Stroke hairline{0.12, 0.55, {}};

struct Paragraph {
  std::vector<std::string> lines;
  Style style;

  double height() const { return static_cast<double>(lines.size()) * style.line_height(); }
};

using Paragraphs = std::vector<Paragraph>;

double height_of(const Paragraphs& paragraphs, double gap = 0) {
  double sum = 0;
  for (const Paragraph& paragraph : paragraphs) sum += paragraph.height() + (sum > 0 ? gap : 0);
  return sum;
}

double draw(Document& document, Point top, const Paragraphs& paragraphs, double gap = 0) {
  for (const Paragraph& paragraph : paragraphs)
    top.y = draw_lines(document, top, paragraph.lines, paragraph.style) + gap;
  return paragraphs.empty() ? top.y : top.y - gap;
}

struct Section {
  std::string name;
  Paragraphs label;
  Paragraphs text;

  double height(double gap) const {
    return std::max(height_of(label), height_of(text, gap * paragraph_share));
  }
};

// Where a part of the template goes, and how it looks.
struct Part {
  std::string_view name;
  Paragraphs* column;
  Face face;
  double times;  // the card's size of type
  double width;
};

// One card at one size of type: broken into lines, measured, not yet drawn.
class Card {
 public:
  Card(Document& document, Size size, const std::vector<Phrase>& phrases, double type)
      : document_(document),
        size_(size),
        type_(type),
        room_(size.width - 2 * margin),
        label_column_(2.7 * type) {
    for (const Phrase& phrase : phrases) place(phrase);
  }

  // What is over the card's height (above 0) or left.
  double excess(double gap = smallest_gap) const {
    double body = gap;  // before the foot
    for (const Section& section : sections_) body += section.height(gap) + gap;
    return head_height() + contact_height() + body + foot_height() - (size_.height - 2 * margin);
  }

  // The section that takes most room: what to shorten first.
  const std::string& longest_section() const {
    return std::max_element(
               sections_.begin(), sections_.end(),
               [](const Section& a, const Section& b) { return a.height(0) < b.height(0); })
        ->name;
  }

  void draw_all(const std::string& code, int woods) const {
    const double gap = widest_gap();
    draw_strips(document_, {margin, margin, room_, band_height}, woods);
    double y = draw(document_, {margin, margin + band_height + 2}, head_);
    y = draw_contact(y + 1);
    for (const Section& section : sections_) {
      y += gap;
      if (&section != &sections_.front() || contact_.empty())
        document_.line({margin, y - gap / 2}, {size_.width - margin, y - gap / 2}, hairline);
      draw(document_, {margin, y}, section.label);
      y = std::max(y + height_of(section.label), draw(document_, {margin + label_column_, y},
                                                      section.text, gap * paragraph_share));
    }
    draw_foot(code);
  }

 private:
  // The height left is shared out. Each section counts as if its text were the higher column, so
  // that the card is rather too short than too high.
  double widest_gap() const {
    double gaps = 1;
    for (const Section& section : sections_)
      gaps += 1 + paragraph_share * (static_cast<double>(section.text.size()) - 1);
    return std::min(largest_gap, smallest_gap - excess() / gaps);
  }

  Style style(Face face, double times) const { return {{face, type_ * times}, 1.25, 0}; }

  Paragraph paragraph(const std::string& text, const Style& style, double width) const {
    return {break_lines(document_, text, style.font, width), style};
  }

  void place(const Phrase& phrase) {
    if (phrase.part == "section") {
      const Style bold = style(Face::bold, 1);
      sections_.push_back({phrase.text, {paragraph(phrase.text, bold, label_column_ - 1.5)}, {}});
      return;
    }
    if (sections_.empty() && (phrase.part == "text" || phrase.part == "strong"))
      throw std::logic_error("A care card template has text before its first section.");
    Paragraphs* body = sections_.empty() ? nullptr : &sections_.back().text;
    const double text_width = room_ - label_column_;
    const double foot_width = room_ - qr_side - 2;
    const Part parts[] = {{"title", &head_, Face::bold, 2, room_},
                          {"size", &head_, Face::regular, 1.15, room_},
                          {"contact", &contact_, Face::bold, 1.1, room_},
                          {"contact-note", &contact_, Face::regular, 1, room_},
                          {"text", body, Face::regular, 1, text_width},
                          {"strong", body, Face::bold, 1, text_width},
                          {"maker", &foot_, Face::bold, 1.15, foot_width},
                          {"address", &foot_, Face::regular, 1, foot_width},
                          {"reach", &foot_, Face::regular, 1, foot_width},
                          {"code", &foot_, Face::bold, 1, foot_width},
                          {"law", &law_, Face::regular, 1, foot_width}};
    const auto part = std::find_if(std::begin(parts), std::end(parts),
                                   [&](const Part& p) { return p.name == phrase.part; });
    if (part != std::end(parts))
      part->column->push_back(paragraph(phrase.text, style(part->face, part->times), part->width));
    else if (phrase.part != "document")  // the file's title, not printed
      throw std::logic_error("A care card template has the unknown part " + phrase.part);
  }

  double head_height() const { return band_height + 2 + height_of(head_); }
  double contact_height() const { return contact_.empty() ? 0 : height_of(contact_) + 3.4; }
  double foot_height() const {
    return 1.5 + std::max(qr_side, height_of(foot_) + 0.8 + height_of(law_));
  }

  // Between two rules, since it is what must not be overlooked.
  double draw_contact(double y) const {
    if (contact_.empty()) return y - 1;
    document_.line({margin, y}, {size_.width - margin, y}, {0.5, 0, {}});
    y = draw(document_, {margin, y + 0.9}, contact_) + 0.9;
    document_.line({margin, y}, {size_.width - margin, y}, {0.5, 0, {}});
    return y + 0.6;
  }

  void draw_foot(const std::string& code) const {
    const double bottom = size_.height - margin;
    const double top = bottom - foot_height();
    document_.line({margin, top}, {size_.width - margin, top}, rule);
    draw(document_, {margin, top + 1.5}, foot_);
    draw_qr(document_, {size_.width - margin - qr_side, top + 0.75}, qr_side, code);
    draw(document_, {margin, bottom - height_of(law_)}, law_);
  }

  Document& document_;
  Size size_;
  double type_;
  double room_;
  double label_column_;  // wide enough for the longest of the short labels
  Paragraphs head_, contact_, foot_, law_;
  std::vector<Section> sections_;
};

}  // namespace

void draw_card(Document& document, Size size, const std::vector<Phrase>& phrases,
               const std::string& code, int woods) {
  // Rather smaller type with air around it than large type without.
  for (double type = largest_type(size); type >= smallest_type; type -= type_step) {
    const Card card(document, size, phrases, type);
    if (card.excess(comfortable_gap) <= 0) return card.draw_all(code, woods);
  }
  const Card card(document, size, phrases, smallest_type);
  if (card.excess() > 0)
    refuse_excess("The care card of " + code + " (longest part: " + card.longest_section() + ")",
                  card.excess(), "high");
  card.draw_all(code, woods);
}

}  // namespace trencher::paper
