// The sheet of a stall, entered afterwards.
#pragma once

#include "commands/call.h"

namespace trencher::commands {

// `trencher stall-sheet enter`: all of it or nothing.
int enter_stall_sheet(Call& call);

}  // namespace trencher::commands
