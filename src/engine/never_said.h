// Looking for what is never said of a board in a text, above all in a maker's own free text before
// it is printed.
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/kinds.h"
#include "engine/finding.h"

namespace trencher::engine {

// The phrases that the text holds, each once, in the order of `phrases`. Case, hyphens, and the
// number of blanks do not matter; words are matched whole, but for the ending where the phrase ends
// with *. What stands inside a denial is passed over.
std::vector<const NeverSaid*> claims_in(std::string_view text, std::span<const NeverSaid> phrases);

// A finding for each such phrase of a text that is to be printed; `about` says where it comes from
// ("X1 Small feet", "the maker's name").
std::vector<Finding> claim_findings(std::string_view text, const std::string& about, Result result,
                                    std::span<const NeverSaid> phrases);

}  // namespace trencher::engine
