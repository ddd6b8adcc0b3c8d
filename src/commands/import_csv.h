// `trencher import --csv`: a maker's old sheets, row by row through the commands, all or nothing.
#pragma once

#include <string>

#include "commands/call.h"

namespace trencher::commands {

struct MovingIn {
  std::string folder;
  std::string by, because;  // of rows that say nothing of their own; because: only of stops
  bool dry_run = false;
};

int import_csv(Call& call, const MovingIn& from);

}  // namespace trencher::commands
