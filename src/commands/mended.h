// What was corrected or struck under an answer: whoever asked may have been told otherwise before.
#pragma once

#include <set>
#include <string>
#include <vector>

#include "commands/shop.h"

namespace trencher::commands {

struct Mended {
  std::int64_t entry = 0, by = 0;
  bool struck = false;
  Moment on;         // when the correction or strike happened
  std::string said;  // what the entry said before, in words
  std::string why;
};

// Of the entries that an answer about a piece (0: its whole batch) rests on, and of the steps and
// papers that were struck: by entry.
std::vector<Mended> mended(Call& call, const BatchRecord& view, int piece,
                           const std::set<std::int64_t>& entries);
// "Entry 6 was corrected by entry 40 on Mon 9 Nov 2026: wrong tin. It said: …"
std::string mended_words(const Mended& mended);

}  // namespace trencher::commands
