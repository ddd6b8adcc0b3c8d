// What is on a piece as the evidence rules ask for it; for `answer` and for the care card.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"
#include "engine/evidence.h"

namespace trencher::commands {

// `piece` 0: the whole batch, every step counted; `code` is what it is called in the answer.
engine::PieceContents contents_of(Call& call, const BatchView& view, int piece,
                                  const std::string& code);

// Whether any step names only some of the pieces, so that pieces may differ.
bool is_divided(const BatchView& view);

}  // namespace trencher::commands
