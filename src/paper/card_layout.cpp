#include "paper/card_layout.h"

namespace trencher::paper {
namespace {

constexpr double type_step = 0.25;

// Rather smaller type with air around it than large type without: the settings from the largest
// type down with comfortable gaps, then the smallest type with the smallest.
template <typename Try>
std::optional<LaidCard> largest_that(Document& document, Size card, const CardText& text,
                                     const Try& sides_of) {
  for (double type = shape_of(card).largest; type >= smallest_type; type -= type_step) {
    CardSetting setting(document, card, text, type);
    if (std::vector<CardSide> sides = sides_of(setting, comfortable_gap); !sides.empty())
      return LaidCard{std::move(setting), std::move(sides)};
  }
  CardSetting setting(document, card, text, smallest_type);
  if (std::vector<CardSide> sides = sides_of(setting, smallest_gap); !sides.empty())
    return LaidCard{std::move(setting), std::move(sides)};
  return {};
}

std::vector<CardSide> one_side(const CardSetting& setting, double gap) {
  CardSide side = setting.whole();
  if (setting.excess(side, gap) > 0) return {};
  return {side};
}

// Whole sections where that will do.
std::vector<CardSide> both_sides(const CardSetting& setting, double gap) {
  std::vector<CardSide> sides = setting.two_sides(gap, true);
  return sides.empty() ? setting.two_sides(gap, false) : sides;
}

}  // namespace

std::optional<LaidCard> lay_card(Document& document, Size card, const CardText& text) {
  if (auto laid = largest_that(document, card, text, one_side)) return laid;
  return largest_that(document, card, text, both_sides);
}

void refuse_card(Document& document, Size card, const CardText& text, const std::string& code) {
  const CardSetting setting(document, card, text, smallest_type);
  refuse_excess("The care card of " + code + " (longest part: " + setting.longest_section() + ")",
                std::max(0.1, setting.excess_of_both()), "high");
}

}  // namespace trencher::paper
