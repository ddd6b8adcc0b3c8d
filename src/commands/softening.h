// Words that lower a risk have no place in what is told of a recall: Regulation (EU) 2023/988
// article 36(2)(c) (read in two digests of the law).
#pragma once

#include <string>
#include <vector>

#include "engine/finding.h"

namespace trencher::commands {

// A stop where `text`, given as `option`, holds such words; else nothing.
std::vector<engine::Finding> softening_findings(const std::string& option, const std::string& text);

}  // namespace trencher::commands
