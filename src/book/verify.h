// Whether a book is unaltered: the chain of hashes, the bodies, the vault, the triggers, and the
// state rebuilt and compared. Unaltered is not correct.
#pragma once

#include <string>
#include <vector>

#include "book/book.h"

namespace trencher::book {

struct Verdict {
  std::int64_t entries = 0;
  std::string last_hash;
  std::vector<std::string> problems;  // whole sentences; empty: unaltered
  bool whole() const { return problems.empty(); }
};

// Reads everything; writes nothing to the file.
Verdict verify(Book& book);

}  // namespace trencher::book
