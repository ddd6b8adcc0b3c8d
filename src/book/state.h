// The state: tables derived from the journal alone by a fold over its effective entries (fold.h).
#pragma once

#include <memory>
#include <string>
#include <string_view>
#include <vector>

#include "book/entry.h"
#include "book/fold.h"
#include "book/insert_many.h"
#include "book/sql.h"

namespace trencher::book {

// What an amendment of entry `number` bears on, by what the entry says, by what it said under any
// correction, and by `body` where one is to be put in its place: the batch of a step; every batch
// that a tin, lot, product, species, place, statement or reading reaches; nothing for a gift, a
// card, a note and the like. An amendment of an amendment bears on what that one named, and only on
// sign-offs since: an amendment that is struck has reopened nothing itself.
struct Touched {
  std::string with;  // a WITH clause: touched(id); the batches are among them
  std::string from;  // to bind to ?1
};
Touched touched_by(Sql& sql, std::int64_t number, const Json* body = nullptr);

// The same for ids, as "F1" or a batch's code: what an entry about them bears on.
Touched touched_by(const std::vector<std::string>& ids);

// A row of the journal, columns as entry_columns. Error::book naming the entry where a time or an
// offset is none.
Entry read_entry(const Row& row);
// Into one that was used: its texts' memory serves again.
void read_entry(const Row& row, Entry& out);
inline constexpr const char* entry_columns =
    "number, happened_at, happened_offset, written_at, written_by, kind, kind_version, body, hash";

class State {
 public:
  // `schema` is "main" (kept in the book) or "temp" (for a comparison).
  State(Sql& sql, std::string schema);

  void make_tables();
  // Takes in an entry just appended.
  void append(const Entry& entry);
  // Empties the tables and folds the whole journal anew.
  void rebuild();

  static const std::vector<std::string>& tables();

 private:
  Sql& sql_;
  std::string schema_;
};

// Takes rows of the state and puts them into its tables, which must be empty.
class StateRows {
 public:
  StateRows(Sql& sql, std::string schema);
  ~StateRows();
  TablesInMemory::Use use();
  void entries_are_over();  // no mention will come
  void finish();            // what is still held back

 private:
  class Mentions;
  InsertMany& into(std::string_view table);

  Sql& sql_;
  std::string schema_;
  std::map<std::string, InsertMany, std::less<>> inserts_;
  std::unique_ptr<Mentions> mentions_;
};

// Folds the journal of the book; rows as TablesInMemory's.
void fold_journal(Sql& sql, const TablesInMemory::Use& use);

}  // namespace trencher::book
