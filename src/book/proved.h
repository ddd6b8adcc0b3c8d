// Which of the entries that a salvage found are to be kept. For book/rescue.cpp alone.
#pragma once

#include <vector>

#include "book/chain.h"
#include "book/salvage.h"

namespace trencher::book {

struct Kept {
  std::vector<Entry> entries;  // by number
  std::vector<Gap> gaps;       // those that no earlier rescue noted
  std::vector<Rescued::Unproved> unproved;
  std::vector<std::int64_t> rehashed;
  Rescues before;         // what earlier rescues of the book said
  std::int64_t last = 0;  // the last number that was given to an entry, kept or lost
};

// `with_unproved`: keep entries that nothing proves, too.
Kept prove(const Salvage& found, bool with_unproved);

}  // namespace trencher::book
