// What lies before and after a thing, as trees. One step back and one step forward of everything:
// the shape of Regulation (EC) 178/2002 article 18 (read as an authority's summary), which is about
// food; boards are none.
#pragma once

#include <cstdint>
#include <string>
#include <vector>

#include "commands/call.h"
#include "domain/time.h"

namespace trencher::commands {

// One thing on the way, with what lies behind it.
struct Node {
  std::string id, class_name, what;
  std::vector<std::int64_t> entries;
  std::vector<Node> nodes{};
  std::vector<Moment> at{};  // of each entry, where that is known
};

struct Trace {
  std::string id, class_name;
  std::vector<Node> before, after;
};

// Of a piece, batch, tin, thing, wood lot or product. Error::request where there is none.
Trace trace_of(Call& call, const std::string& code);

}  // namespace trencher::commands
