// One entry in a sentence, for the history on the batch record.
#pragma once

#include <string>

#include "commands/call.h"

namespace trencher::commands {

// `body` is the one to be told: as first written, or as corrected. People are not named.
std::string describe(Call& call, const std::string& kind, const Json& body);
// The name of a worker as the vault has it; "worker 2" where it was forgotten.
std::string worker_name(Call& call, std::int64_t worker);

}  // namespace trencher::commands
