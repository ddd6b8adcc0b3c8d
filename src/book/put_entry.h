// Entries written as they stand, for book/ alone: in an import and in a rescue.
#pragma once

#include <functional>

#include "book/entry.h"
#include "book/insert_many.h"
#include "book/sql.h"

namespace trencher::book {

// Nothing is checked but what the tables themselves refuse.
void put_entry(Sql& sql, const Entry& entry);

// The same for many, within allowing_gaps(). An entry may wait until finish().
class PutEntries {
 public:
  explicit PutEntries(Sql& sql) : insert_(sql, "entry", 9) {}
  void put(const Entry& entry);
  void finish() { insert_.finish(); }

 private:
  InsertMany insert_;
};

// Runs `work` with the trigger that forbids gaps out of the way and puts it back, word for word.
// REQUIRES: within a transaction, so that no other program ever finds the book without it.
void allowing_gaps(Sql& sql, const std::function<void()>& work);

}  // namespace trencher::book
