// The order in which a line's characters are drawn from left to right, and what could not be drawn.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "paper/characters.h"

namespace trencher::paper {

// One line as it is read, in the order and the forms in which it is drawn: Hebrew and Arabic run
// from right to left (Unicode UAX 9) within lines of our languages, and Arabic letters are joined.
// Joiners and variants have done their work then and are left out.
std::u32string visual(const std::vector<Character>& line);

// The characters that papers of this run show as U+FFFD, as the fonts lack them.
std::set<char32_t>& lacking();

}  // namespace trencher::paper
