// What the time of an entry is corrected to must leave a piece's life in its order.
#pragma once

#include "book/queries.h"
#include "commands/call.h"

namespace trencher::commands {

// Error::request, naming the entry in the way, where `target` at `when` would newly lie on the
// wrong side of another: a step before its batch, a sign-off before the steps that it was of, a
// piece given before its sign-off, back before it left, a tin opened before it came in.
void demand_order(Call& call, const book::Effective& target, const Json& mended,
                  const Moment& when);

}  // namespace trencher::commands
