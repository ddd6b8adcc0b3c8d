// The way of finishing that pieces take by themselves, as split and take-back are told it.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"

namespace trencher::commands {

// --schedule and --finish.
void declare_way(Call& call, std::string& schedule, std::vector<std::string>& finish);
// Asks for what is missing and fills in the schedule. Error::request where it is not known.
void need_way(Call& call, std::string& schedule, Turn& turn);
// Error::request where a tin is none of finish or the schedule takes another number of them.
void check_way(Call& call, const Turn& turn);
// The same check for a batch.
void check_finishes(Call& call, const Schedule& schedule, const std::vector<std::string>& finish);

}  // namespace trencher::commands
