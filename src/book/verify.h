// Whether a book is unaltered: the chain of hashes, the bodies, the vault, the triggers, and the
// state rebuilt and compared. Unaltered is not correct.
#pragma once

#include <functional>
#include <set>
#include <string>
#include <vector>

#include "book/book.h"
#include "domain/records.h"

namespace trencher::book {

// What of a book a problem is about. The state follows from the journal and can be made anew.
enum class Part { file, schema, journal, vault, state };
std::string_view part_name(Part part);

struct Verdict {
  std::int64_t entries = 0;
  std::string last_hash;
  // Entries 1 to this one follow from one another, gaps that a rescue noted aside; so does the
  // whole journal where it is `last`. Of a journal that cannot be read to its end `last` is the
  // first that is not read.
  std::int64_t trusted_to = 0, last = 0;
  std::vector<std::string> problems;  // whole sentences; empty: unaltered
  std::set<Part> hurt;                // what they are about
  // Of a rescued book: what is lost, and which entries no hash vouches for.
  std::vector<Gap> gaps;
  std::vector<std::int64_t> unproved;
  bool open_end = false;  // entries may be lost behind the last that was found
  std::size_t persons_lost = 0, files_lost = 0;
  bool whole() const { return problems.empty(); }
};

// Reads everything; writes nothing to the file. `progress` hears of each entry that is read, and of
// how many.
Verdict verify(Book& book, const std::function<void(std::int64_t, std::int64_t)>& progress = {});

}  // namespace trencher::book
