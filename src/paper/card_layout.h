// Setting one care card.
#pragma once

#include <string>

#include "paper/document.h"
#include "paper/phrases.h"

namespace trencher::paper {

// Draws the card in the current frame, which is as large as the card. The type is as large as lets
// everything fit; where it does not fit at the smallest size, Error request names the card and by
// how much.
void draw_card(Document& document, Size card, const std::vector<Phrase>& phrases,
               const std::string& code, int woods);

}  // namespace trencher::paper
