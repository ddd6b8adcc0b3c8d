// What is recalled: ids, and the entries that withdrew them.
#pragma once

#include <string>
#include <vector>

#include "commands/call.h"
#include "commands/supply.h"
#include "domain/records.h"

namespace trencher::commands {

struct RecallScope {
  std::vector<std::string> ids;
  std::vector<Withdrawal> words;  // in force, that withdrew one of them; none in a trial
  std::vector<Supply> alike;      // not recalled, but like the lot that was named
};

// Of ids, of entry numbers of withdrawals, or of a supplier's lot. In a trial whether withdrawn or
// not; else Error::request where one is not withdrawn.
RecallScope recall_scope(Call& call, const std::vector<std::string>& typed,
                         const SupplyOptions& supply, bool trial);
RecallScope scope_of(const Withdrawal& word);

// The withdrawal in force of that entry. Error::request where there is none.
Withdrawal need_withdrawal(Call& call, const std::string& typed);

}  // namespace trencher::commands
