#include "paper/card_layout.h"

namespace trencher::paper {
namespace {

constexpr double type_step = 0.25;

// From the largest type to the smallest.
std::vector<CardSetting> settings_of(Document& document, Size card, const CardText& text) {
  const CardShape shape = shape_of(card);
  std::vector<CardSetting> out;
  for (double type = shape.largest; type >= shape.smallest; type -= type_step)
    out.emplace_back(document, card, text, type);
  return out;
}

// Rather smaller type with air around it than large type without: the settings from the largest
// type down with comfortable gaps, then the smallest type with the smallest.
template <typename Try>
std::optional<LaidCard> largest_that(const std::vector<CardSetting>& settings,
                                     const Try& sides_of) {
  for (const CardSetting& setting : settings)
    if (std::vector<CardSide> sides = sides_of(setting, comfortable_gap); !sides.empty())
      return LaidCard{setting.type(), std::move(sides)};
  if (std::vector<CardSide> sides = sides_of(settings.back(), smallest_gap); !sides.empty())
    return LaidCard{settings.back().type(), std::move(sides)};
  return {};
}

std::vector<CardSide> one_side(const CardSetting& setting, double gap) {
  CardSide side = setting.whole();
  if (setting.excess(side, gap) > 0) return {};
  return {side};
}

}  // namespace

std::optional<LaidCard> lay_card(Document& document, Size card, const CardText& text) {
  const std::vector<CardSetting> settings = settings_of(document, card, text);
  if (auto laid = largest_that(settings, one_side)) return laid;
  for (std::size_t seen = settings.back().to_be_seen() + 1; seen-- > 0;)
    for (const bool sections : {true, false})
      if (auto laid = largest_that(settings, [&](const CardSetting& setting, double gap) {
            return setting.two_sides(gap, sections, seen);
          }))
        return laid;
  return {};
}

void refuse_card(Document& document, Size card, const CardText& text, const std::string& code) {
  const CardSetting setting(document, card, text, shape_of(card).smallest);
  refuse_excess("The care card of " + code + " (longest part: " + setting.longest_section() + ")",
                std::max(0.1, setting.excess_of_both()), "high");
}

}  // namespace trencher::paper
