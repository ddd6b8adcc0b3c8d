// The fields of each kind of entry that can be corrected, under the names that the commands'
// options have, read by the same rules.
#pragma once

#include <string>
#include <vector>

#include "book/queries.h"
#include "commands/call.h"

namespace trencher::commands {

// The body of `target` with "FIELD=VALUE" laid over it. Error::request for a field that its kind
// does not have (naming those it has) or a value that its rule refuses.
Json corrected_body(Call& call, const book::Effective& target, const std::vector<std::string>& set);

}  // namespace trencher::commands
