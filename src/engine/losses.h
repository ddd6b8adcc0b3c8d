// What of a rescued book is lost and may bear on a batch. What lost entries said is not known: it
// never counts as nothing.
#pragma once

#include <string>
#include <vector>

#include "domain/records.h"

namespace trencher::engine {

struct Losses {
  std::vector<Gap> gaps;
  bool open_end = false;            // what came behind the last entry that a rescue found
  std::vector<std::string> things;  // the batch, its tins and lots whose own entries are lost
  bool any() const { return open_end || !gaps.empty() || !things.empty(); }
  // Whether a thing that dates rest on is lost: the batch or a tin.
  bool hides_dates() const;
  std::string sentence() const;  // whole, for any reader; REQUIRES: any()
};

}  // namespace trencher::engine
