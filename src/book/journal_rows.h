// Every row of the journal, as it lies in the file: for what looks at all of it, damage included.
#pragma once

#include <functional>
#include <string>

#include "book/book.h"
#include "book/chain.h"
#include "book/read_ahead.h"
#include "book/state.h"

namespace trencher::book {

// A row, and what can be told of it and of the hash before it.
class JournalRow {
 public:
  void read(const Row& row);
  // `previous_hash` outlasts the row.
  void look(std::string_view previous_hash);
  void clear();

  std::int64_t number() const { return entry_.number; }
  const std::string& hash() const { return entry_.hash; }
  const std::string& failure() const { return failure_; }  // not empty: it cannot be read
  // Of one that can be read.
  const Entry& entry() const { return entry_; }
  const Chain::Hashed& hashed() const { return hashed_; }
  const ReadBody& body() const { return body_; }

 private:
  Entry entry_;  // of one that cannot be read, number and hash alone
  Chain::Hashed hashed_;
  ReadBody body_;
  std::string failure_;
};

// Calls `use` with every row, in order; other threads look at those ahead. Where the file cannot
// be read on, the rows before are used, then the failure is thrown.
void each_journal_row(Book& book, const std::function<void(const JournalRow&)>& use);

}  // namespace trencher::book
