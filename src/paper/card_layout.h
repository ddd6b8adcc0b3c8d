// Setting one care card: as large as it fits, on one side or two.
#pragma once

#include <optional>
#include <vector>

#include "paper/card_setting.h"

namespace trencher::paper {

struct LaidCard {
  double type = 0;              // its size
  std::vector<CardSide> sides;  // the front, and the back where it is needed
};

// The type is as large as lets everything fit on one side. What does not fit at the smallest size
// goes on the back, both sides again as large as fits. Absent: it does not fit both.
std::optional<LaidCard> lay_card(Document& document, Size card, const CardText& text);

// Error request that names the card and by how much it does not fit.
[[noreturn]] void refuse_card(Document& document, Size card, const CardText& text,
                              const std::string& code);

}  // namespace trencher::paper
