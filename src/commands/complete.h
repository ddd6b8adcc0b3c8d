// What could stand next on a command line, for the shells' completions.
#pragma once

#include <string>
#include <vector>

#include "commands/call.h"

namespace trencher::commands {

// Prints, a line each, what the last of `words` may become: the text, a tab, and what it is; or
// ":files" where the shell is to offer files. Nothing is written, no error is told.
void complete(const std::vector<std::string>& words, const Surroundings& surroundings);

}  // namespace trencher::commands
