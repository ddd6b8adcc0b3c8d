// Many rows into a table of the book, at the least cost. Inside book/ only.
#pragma once

#include <sqlite3.h>

#include <initializer_list>
#include <memory>
#include <span>
#include <string>
#include <vector>

#include "book/value.h"

namespace trencher::book {

class Sql;

// Rows of a table, hundreds with each run of a statement, which reads them out of our memory as
// rows of a table of its own (a virtual one): opening a table and its indices costs more than
// putting a row into them, and binding values a fourth of that. A row may wait until finish(). Of a
// run that fails some rows may be there: it is for transactions that a failure undoes as a whole.
class InsertMany {
 public:
  // `table`: with its schema, and without triggers.
  InsertMany(Sql& sql, std::string table, int columns);
  // Texts are copied.
  void row(std::span<const Value> values);
  void row(std::initializer_list<Value> values) { row(std::span(values.begin(), values.size())); }
  // One whose texts last until finish(), and need not be copied.
  void lasting_row(std::initializer_list<Value> values);
  void finish();

 private:
  friend struct HeldRows;
  static constexpr std::size_t at_once = 256;
  static constexpr std::size_t none = std::string::npos;
  struct Held {
    Value value;
    std::size_t begin = none, size = 0;  // of a text that was copied, in texts_
  };
  struct Finalize {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };

  void held_one() {
    if (++rows_ == at_once) finish();
  }
  void prepare();

  Sql& sql_;
  const std::string table_;
  const std::size_t columns_;
  std::unique_ptr<sqlite3_stmt, Finalize> statement_;
  std::size_t rows_ = 0;
  std::vector<Held> held_;  // the values of one row behind those of another
  std::string texts_;
};

// To be called once for each connection.
void know_held_rows(sqlite3* database);

}  // namespace trencher::book
