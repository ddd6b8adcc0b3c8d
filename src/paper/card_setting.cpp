#include "paper/card_setting.h"

#include <algorithm>
#include <cmath>
#include <stdexcept>

#include "paper/strips.h"

namespace trencher::paper {
namespace {

constexpr double largest_gap = 3;
constexpr double paragraph_share = 0.35;  // the gap between paragraphs, in gaps between sections
constexpr double type_step = 0.25;
constexpr double beside_label = 1.5;

const Stroke rule{0.25, 0, {}};
const Stroke heavy{0.5, 0, {}};
const Stroke hairline{0.12, 0.55, {}};

using Paragraphs = std::vector<CardParagraph>;

double height_of_all(const Paragraphs& paragraphs) {
  double sum = 0;
  for (const CardParagraph& paragraph : paragraphs) sum += paragraph.height();
  return sum;
}

double draw_one(Document& document, Point top, const CardParagraph& paragraph) {
  return draw_lines(document, top, paragraph.lines, paragraph.style);
}

double draw_all(Document& document, Point top, const Paragraphs& paragraphs) {
  for (const CardParagraph& paragraph : paragraphs) top.y = draw_one(document, top, paragraph);
  return top.y;
}

// Adds the share to the list, which stays in the order of the card.
void add_share(std::vector<SectionShare>& list, const SectionShare& share) {
  auto at = std::lower_bound(list.begin(), list.end(), share.section,
                             [](const SectionShare& s, std::size_t n) { return s.section < n; });
  if (at == list.end() || at->section != share.section) at = list.insert(at, {share.section, {}});
  for (const std::size_t paragraph : share.paragraphs)
    at->paragraphs.insert(std::lower_bound(at->paragraphs.begin(), at->paragraphs.end(), paragraph),
                          paragraph);
}

}  // namespace

// The smallest type has small letters 1.25 mm high, on cards of less than 80 cm2 1.06 mm. 1.2 mm,
// and 0.9 mm on packages with less than 80 cm2, is what EU 1169/2011 art. 13(2) and (3) ask of food
// labels (from memory); a card is none, but is read in the same place.
CardShape shape_of(Size card) {
  if (card.width < a7.width) return {4, 3, 12, true, 7, 5.5};
  if (card.width < postcard.width) return {5, 3, 14, true, 7.5, 5.5};
  // 8 points on an A6 card, more on a larger one.
  const double largest = std::floor(8 * card.width / a6.width / type_step) * type_step;
  return {7, 4, 18, false, largest, 6.5};
}

CardSetting::CardSetting(Document& document, Size size, const CardText& text, double type)
    : size_(size), shape_(shape_of(size)), type_(type), room_(size.width - 2 * shape_.margin) {
  if (!shape_.stacked) {
    // As wide as the longest word of a heading, so that none is split.
    label_column_ = 2.7 * type;
    for (const CardLine& line : text.lines)
      if (line.role == CardRole::section)
        for (const std::string& word : break_lines(document, line.text, {Face::bold, type}, 1))
          label_column_ = std::max(
              label_column_,
              std::min(room_ / 3, document.width(word, {Face::bold, type}) + beside_label));
  }
  for (const CardLine& line : text.lines) place(document, line);
  overleaf_ = paragraph(document, "", text.overleaf, Face::bold, 1, room_);
  continued_ = paragraph(document, "", text.continued, Face::bold, 1.3, room_);
  code_ = code_paragraph(document, text.code);
}

CardParagraph CardSetting::paragraph(Document& document, const std::string& key,
                                     const std::string& text, Face face, double times,
                                     double width) const {
  const Style style{{face, type_ * times}, 1.25, 0};
  return {key, break_lines(document, text, style.font, width), style, false};
}

CardParagraph CardSetting::code_paragraph(Document& document, const std::string& sentence) const {
  return paragraph(document, "code", sentence, Face::bold, 1, room_ - shape_.qr - 2);
}

void CardSetting::place(Document& document, const CardLine& line) {
  const double foot_width = room_ - shape_.qr - 2;
  const auto put = [&](Paragraphs& column, Face face, double times, double width) {
    column.push_back(paragraph(document, line.key, line.text, face, times, width));
  };
  const auto body = [&]() -> Paragraphs& {
    if (sections_.empty()) throw std::logic_error("A care card has text before its first section.");
    return sections_.back().text;
  };
  const double text_width = room_ - label_column_;
  switch (line.role) {
    case CardRole::section:
      sections_.push_back({line.text,
                           paragraph(document, "", line.text, Face::bold, 1,
                                     shape_.stacked ? room_ : label_column_ - beside_label),
                           {}});
      return;
    case CardRole::title:
      return put(head_, Face::bold, shape_.stacked ? 1.7 : 2, room_);
    case CardRole::head:
      return put(head_, Face::regular, 1.15, room_);
    case CardRole::contact:
      return put(contact_, Face::bold, 1.1, room_);
    case CardRole::contact_note:
      return put(contact_, Face::regular, 1, room_);
    case CardRole::text:
      return put(body(), Face::regular, 1, text_width);
    case CardRole::strong:
      put(body(), Face::bold, 1, text_width);
      body().back().strong = true;
      return;
    case CardRole::maker:
      return put(foot_, Face::bold, 1.15, foot_width);
    case CardRole::foot:
      return put(foot_, line.key == "code" ? Face::bold : Face::regular, 1, foot_width);
    case CardRole::law:
      return put(law_, Face::regular, 1, foot_width);
  }
}

double CardSetting::height_of(const SectionShare& share, double gap) const {
  const CardSection& section = sections_[share.section];
  double text = 0;
  for (const std::size_t number : share.paragraphs)
    text += section.text[number].height() + (text > 0 ? gap * paragraph_share : 0);
  return shape_.stacked ? section.label.height() + text : std::max(section.label.height(), text);
}

double CardSetting::foot_height(const CardSide& side) const {
  const double text = side.back ? code_.height() : height_of_all(foot_) + 0.8 + height_of_all(law_);
  return 1.5 + std::max(shape_.qr, text);
}

// All but the sections and the gaps between them.
double CardSetting::fixed_height(const CardSide& side) const {
  double out = shape_.band + 2 + foot_height(side);
  if (side.back) return out + continued_.height();
  out += height_of_all(head_);
  if (!contact_.empty()) out += height_of_all(contact_) + 3.4;
  if (side.goes_on) out += overleaf_.height();
  return out;
}

double CardSetting::excess(const CardSide& side, double gap) const {
  double out = fixed_height(side) + gap - (size_.height - 2 * shape_.margin);  // before the foot
  if (side.goes_on) out += gap;
  for (const SectionShare& share : side.sections) out += height_of(share, gap) + gap;
  return out;
}

double CardSetting::excess_of_both() const {
  CardSide front{false, true, {}};
  const CardSide back{true, false, {}};
  front.sections = whole().sections;
  return excess(front, smallest_gap) + excess(back, smallest_gap);
}

// The height left is shared out. Each section counts as if its text were the higher column, so that
// the card is rather too short than too high.
double CardSetting::widest_gap(const CardSide& side) const {
  double gaps = side.goes_on ? 2 : 1;
  for (const SectionShare& share : side.sections)
    gaps += 1 + paragraph_share * (static_cast<double>(share.paragraphs.size()) - 1);
  return std::min(largest_gap, smallest_gap - excess(side, smallest_gap) / gaps);
}

const std::string& CardSetting::longest_section() const {
  return std::max_element(sections_.begin(), sections_.end(),
                          [](const CardSection& a, const CardSection& b) {
                            return height_of_all(a.text) < height_of_all(b.text);
                          })
      ->name;
}

CardSide CardSetting::whole() const { return {false, false, units(true, {})}; }

// What it contains, all of it together lest a part be taken for the whole; then the caution on
// rags.
std::vector<SectionShare> CardSetting::must_be_seen() const {
  std::vector<SectionShare> out;
  for (const char* key : {"contains", "rags"})
    for (std::size_t section = 0; section < sections_.size(); ++section) {
      SectionShare share{section, {}};
      for (std::size_t number = 0; number < sections_[section].text.size(); ++number)
        if (sections_[section].text[number].key == key) share.paragraphs.push_back(number);
      if (!share.paragraphs.empty()) out.push_back(std::move(share));
    }
  return out;
}

// Everything but what is pinned, in pieces that are moved as they are.
std::vector<SectionShare> CardSetting::units(bool sections,
                                             const std::vector<SectionShare>& pinned) const {
  std::vector<SectionShare> out;
  for (std::size_t section = 0; section < sections_.size(); ++section) {
    SectionShare all{section, {}};
    for (std::size_t number = 0; number < sections_[section].text.size(); ++number) {
      const bool stays = std::any_of(pinned.begin(), pinned.end(), [&](const SectionShare& share) {
        return share.section == section &&
               std::find(share.paragraphs.begin(), share.paragraphs.end(), number) !=
                   share.paragraphs.end();
      });
      if (stays) continue;
      const bool with_last = !out.empty() && out.back().section == section && number > 0 &&
                             sections_[section].text[number].key == "contains" &&
                             sections_[section].text[number - 1].key == "contains";
      if (sections)
        all.paragraphs.push_back(number);
      else if (with_last)
        out.back().paragraphs.push_back(number);
      else
        out.push_back({section, {number}});
    }
    if (!all.paragraphs.empty()) out.push_back(std::move(all));
  }
  return out;
}

std::vector<CardSide> CardSetting::two_sides(double gap, bool sections, std::size_t seen) const {
  std::vector<SectionShare> pinned = must_be_seen();
  pinned.resize(std::min(seen, pinned.size()));
  CardSide front{false, true, {}};
  CardSide back{true, false, {}};
  for (const SectionShare& share : pinned) add_share(front.sections, share);
  if (excess(front, gap) > 0) return {};
  bool full = false;
  for (const SectionShare& unit : units(sections, pinned)) {
    CardSide tried = front;
    add_share(tried.sections, unit);
    full = full || excess(tried, gap) > 0;
    if (full)
      add_share(back.sections, unit);
    else
      front = std::move(tried);
  }
  if (excess(back, gap) > 0) return {};
  return {front, back};
}

void CardSetting::draw_band(Document& document, int woods) const {
  draw_strips(document, {shape_.margin, shape_.margin, room_, shape_.band}, woods);
}

void CardSetting::draw_alike(Document& document, const CardSide& side) const {
  const double left = shape_.margin;
  double y = left + shape_.band + 2;
  y = side.back ? draw_one(document, {left, y}, continued_)
                : draw_contact(document, draw_all(document, {left, y}, head_) + 1);
  draw_sections(document, side, y);
  draw_foot(document, side);
}

// Between two rules, since it is what must not be overlooked.
double CardSetting::draw_contact(Document& document, double y) const {
  if (contact_.empty()) return y - 1;
  const double left = shape_.margin;
  const double right = size_.width - left;
  document.line({left, y}, {right, y}, heavy);
  y = draw_all(document, {left, y + 0.9}, contact_) + 0.9;
  document.line({left, y}, {right, y}, heavy);
  return y + 0.6;
}

void CardSetting::draw_sections(Document& document, const CardSide& side, double y) const {
  const double gap = widest_gap(side);
  const double left = shape_.margin;
  for (const SectionShare& share : side.sections) {
    const CardSection& section = sections_[share.section];
    y += gap;
    if (&share != &side.sections.front() || side.back || contact_.empty())
      document.line({left, y - gap / 2}, {size_.width - left, y - gap / 2}, hairline);
    const double below = draw_one(document, {left, y}, section.label);
    double text = shape_.stacked ? below : y;
    for (const std::size_t number : share.paragraphs)
      text = draw_one(document, {left + label_column_, text}, section.text[number]) +
             gap * paragraph_share;
    y = std::max(below, text - gap * paragraph_share);
  }
  if (side.goes_on) draw_one(document, {left + label_column_, y + gap}, overleaf_);
}

double CardSetting::foot_top(const CardSide& side) const {
  return size_.height - shape_.margin - foot_height(side);
}

void CardSetting::draw_foot(Document& document, const CardSide& side) const {
  const double left = shape_.margin;
  const double top = foot_top(side);
  document.line({left, top}, {size_.width - left, top}, rule);
  if (side.back) return;
  double y = top + 1.5;
  for (const CardParagraph& paragraph : foot_)
    if (paragraph.key == "code")
      y += paragraph.height();
    else
      y = draw_one(document, {left, y}, paragraph);
  draw_all(document, {left, size_.height - left - height_of_all(law_)}, law_);
}

void CardSetting::draw_code(Document& document, const CardSide& side, const std::string& sentence,
                            const QrCode& code) const {
  const double left = shape_.margin;
  const double top = foot_top(side);
  double y = top + 1.5;
  bool printed = side.back;
  if (!side.back)
    for (const CardParagraph& paragraph : foot_) {
      printed = paragraph.key == "code";
      if (printed) break;
      y += paragraph.height();
    }
  if (printed) draw_one(document, {left, y}, code_paragraph(document, sentence));
  code.draw(document, {size_.width - left - shape_.qr, top + 0.75}, shape_.qr);
}

}  // namespace trencher::paper
