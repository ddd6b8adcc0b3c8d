// The answer of a writing command that found nothing to write.
#pragma once

#include <string>

#include "commands/call.h"

namespace trencher::commands {

// Prints {"entry": null, "id", "findings": []} or `said`. Returns status 0.
int unchanged(Call& call, const std::string& id, const std::string& said);

}  // namespace trencher::commands
