// One care card at one size of type: its texts broken into lines and measured, and what goes on
// which side.
#pragma once

#include <string>
#include <vector>

#include "paper/card_text.h"
#include "paper/qr.h"
#include "paper/text.h"

namespace trencher::paper {

// Millimetres, and points for type.
struct CardShape {
  double margin;  // beyond what printers leave blank, should a card lie at a sheet's edge
  double band;    // the height of the strips
  double qr;      // the side of the QR code with its quiet zone
  bool stacked;   // headings of sections stand above their text, not beside it
  double largest, smallest;  // type
};
CardShape shape_of(Size card);

inline constexpr double smallest_gap = 0.9;  // between sections
inline constexpr double comfortable_gap = 1.8;

struct CardParagraph {
  std::string key;
  std::vector<std::string> lines;
  Style style;
  bool strong = false;

  double height() const { return static_cast<double>(lines.size()) * style.line_height(); }
};

struct CardSection {
  std::string name;
  CardParagraph label;
  std::vector<CardParagraph> text;
};

// Which paragraphs of which section stand on a side, in the order of the card.
struct SectionShare {
  std::size_t section = 0;
  std::vector<std::size_t> paragraphs;
};

struct CardSide {
  bool back = false;
  bool goes_on = false;  // a front whose back is used
  std::vector<SectionShare> sections;
};

class CardSetting {
 public:
  CardSetting(Document& document, Size size, const CardText& text, double type);

  // All on the front.
  CardSide whole() const;
  // How many paragraphs should stay on the front: what it contains, the caution on rags.
  std::size_t to_be_seen() const { return must_be_seen().size(); }
  // Front and back: in order, whole sections where `sections`, else whole paragraphs; the first
  // `seen` of those to be seen stay on the front. An empty list: does not fit.
  std::vector<CardSide> two_sides(double gap, bool sections, std::size_t seen) const;

  // What is over the card's height (above 0) or left.
  double excess(const CardSide& side, double gap) const;
  // Over both sides together, whatever goes where.
  double excess_of_both() const;
  // The section that takes most room: what to shorten first.
  const std::string& longest_section() const;

  double type() const { return type_; }

  // The strips at the top, the same for all cards of as many woods.
  void draw_band(Document& document, int woods) const;
  // The rest but what differs between cards that say the same, and that: the code, in its sentence
  // and as a QR code.
  void draw_alike(Document& document, const CardSide& side) const;
  void draw_code(Document& document, const CardSide& side, const std::string& sentence,
                 const QrCode& code) const;

 private:
  CardParagraph paragraph(Document& document, const std::string& key, const std::string& text,
                          Face face, double times, double width) const;
  CardParagraph code_paragraph(Document& document, const std::string& sentence) const;
  void place(Document& document, const CardLine& line);
  double height_of(const SectionShare& share, double gap) const;
  double fixed_height(const CardSide& side) const;
  double foot_height(const CardSide& side) const;
  double widest_gap(const CardSide& side) const;
  std::vector<SectionShare> units(bool sections, const std::vector<SectionShare>& pinned) const;
  std::vector<SectionShare> must_be_seen() const;
  double draw_contact(Document& document, double y) const;
  void draw_sections(Document& document, const CardSide& side, double y) const;
  void draw_foot(Document& document, const CardSide& side) const;
  double foot_top(const CardSide& side) const;

  Size size_;
  CardShape shape_;
  double type_;
  double room_;
  double label_column_ = 0;
  std::vector<CardParagraph> head_, contact_, foot_, law_;
  CardParagraph overleaf_, continued_, code_;
  std::vector<CardSection> sections_;
};

}  // namespace trencher::paper
