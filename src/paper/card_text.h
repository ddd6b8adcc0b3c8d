// What a care card says: the template filled in for one piece.
#pragma once

#include <string_view>
#include <vector>

#include "paper/card.h"
#include "paper/phrases.h"

namespace trencher::paper {

// In the order of the template. Error request for an unknown language, a missing code or maker, or
// a control character.
std::vector<Phrase> card_phrases(const CardContent& card, std::string_view language);

}  // namespace trencher::paper
