// The usual cautions, in our words; what they rest on is in schema/reference and docs/sources.md.
// The product's label, its safety data sheet and local rules come first.
#pragma once

#include <string>
#include <vector>

#include "domain/kinds.h"

namespace trencher::commands {

// What to mind when this finish goes on: rags that heat by themselves, solvents, two-part skins.
std::vector<std::string> finish_cautions(const FinishKind& kind);
std::vector<std::string> glue_cautions(const GlueKind& kind);
std::vector<std::string> other_cautions(const OtherKind& kind);
std::string dust_caution();
std::string rag_caution(const std::string& finish_name);
std::string label_first();  // to be said when a tin is received

}  // namespace trencher::commands
