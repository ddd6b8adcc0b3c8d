// Things of the book to choose from at a prompt, each with a few words on what it is.
#pragma once

#include <string>
#include <vector>

#include "commands/call.h"

namespace trencher::commands {

// "Board Oil No. 1, lot M22"; those that are withdrawn are left out.
std::vector<Choice> tins_to_choose(Call& call, const std::string& stock);
std::vector<Choice> lots_to_choose(Call& call);
std::vector<Choice> species_to_choose(Call& call);
std::vector<Choice> tin_kinds_to_choose(const std::string& stock);
std::vector<Choice> products_to_choose(Call& call);
// Those with work or boards still in the shop: "6 boards, cutting board, hard maple".
std::vector<Choice> batches_to_choose(Call& call);
// The last entries, newest first: what each says.
std::vector<Choice> entries_to_choose(Call& call);
// Of a shipped table: id and name.
template <typename Items>
std::vector<Choice> kinds_to_choose(const Items& items) {
  std::vector<Choice> out;
  for (const auto& item : items) out.push_back({item.id, item.name});
  return out;
}

}  // namespace trencher::commands
