// The morning page: what is due over all batches, for `due` and for `trencher` alone.
#pragma once

#include <cstddef>
#include <string>
#include <vector>

#include "commands/upcoming.h"

namespace trencher::commands {

// One line of the page: of a batch, or of a tin or an entry.
struct DueLine {
  Upcoming item;
  std::string id;  // "F1", "entry 31"; empty: of the batch
};

// By the parts of the page, and in each by time.
std::vector<DueLine> due_lines(Call& call);
// The first `most` of them, under the names of their parts.
void print_due(Call& call, const std::vector<DueLine>& lines, std::size_t most);

}  // namespace trencher::commands
