// How far recalls have come: status, what was done about a piece, and the end.
#pragma once

#include <string>

#include "commands/recall_papers.h"

namespace trencher::commands {

int recall_status(Call& call);
int recall_step(Call& call, const std::string& state);  // reached, no-answer, destroyed
int recall_close(Call& call);

// Withdrawals in force that nobody has ended and that are on pieces which are neither scrapped nor
// destroyed; by entry.
std::vector<RecallCase> open_recalls(Call& call);
// "2 here, 3 that left: 1 reached, 1 no answer, 1 not yet told"
std::string progress_words(const RecallNumbers& numbers);

}  // namespace trencher::commands
