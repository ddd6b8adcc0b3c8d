// Which pieces a tin or a wood lot is on, by whatever way it came there.
#pragma once

#include <string>
#include <vector>

#include "commands/call.h"

namespace trencher::commands {

// One way by which something came onto a piece.
struct Touch {
  std::string id;          // what is looked for: F1, W1
  std::string by;          // what was put on: itself, or a mix that holds it
  std::int64_t entry = 0;  // the step; of a wood lot, the batch
  Moment at;
};

struct TouchedPiece {
  std::string code, batch;
  int number = 0;
  bool left = false, scrapped = false;
  std::vector<Touch> touches;  // by entry
};

// By code. Mixes are followed through any depth; a wood lot is on every piece of its batches.
std::vector<TouchedPiece> pieces_touched(Call& call, const std::vector<std::string>& ids);

}  // namespace trencher::commands
