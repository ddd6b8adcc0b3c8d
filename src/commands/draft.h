// A batch that is only imagined, for the plan: "schedule=oil finish=F1 pieces=6 count=2".
#pragma once

#include <optional>
#include <string>

#include "commands/call.h"
#include "engine/schedule.h"

namespace trencher::commands {

struct Draft {
  engine::BatchWork work;
  int count = 1;  // so many batches of this kind
  std::optional<Day> ready_by;
};

// Error::request, naming the word, for what is missing, unknown or said twice. Finishes and glues
// are tins of the book (F1), products (P1) or kinds (tung-oil, with the usual figures).
Draft parse_draft(Call& call, const std::string& text);

}  // namespace trencher::commands
