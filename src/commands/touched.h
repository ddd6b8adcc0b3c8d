// Which pieces a tin is on, by whatever way it came there.
#pragma once

#include <string>
#include <vector>

#include "commands/call.h"

namespace trencher::commands {

struct TouchedPiece {
  std::string code, batch;
  int number = 0;
  bool left = false, scrapped = false;
};

// The tins themselves and every mix that holds one, through any depth, each once.
std::vector<std::string> with_mixes(Call& call, const std::vector<std::string>& tins);
// By code; mixes are followed.
std::vector<TouchedPiece> pieces_touched(Call& call, const std::vector<std::string>& tins);

}  // namespace trencher::commands
