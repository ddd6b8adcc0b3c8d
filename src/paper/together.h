// Words between which a line does not end: those of a date, and a lot with its number.
#pragma once

#include <string_view>

namespace trencher::paper {

// In any language of the papers, since a paper quotes entries in English: "3" and "Nov" or "Nov"
// and "2026" of "3 Nov 2026", "5." and "Dezember", "de" and "2026", "lot" and "M22".
bool stand_together(std::string_view before, std::string_view after);

}  // namespace trencher::paper
