// The state: tables derived from the journal alone by a fold over its effective entries in number
// order. An entry's latest correction counts; a struck entry leaves only its mentions. Applying
// never judges an entry again.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "book/chain.h"
#include "book/entry.h"
#include "book/kinds.h"
#include "book/sql.h"
#include "domain/records.h"

namespace trencher::book {

// What corrections and strikes make of the entry that they name.
struct Amended {
  std::optional<std::int64_t> corrected_by, struck_by;
};

// Over the whole journal. A struck correction or strike counts for nothing; `also_struck` (0: none)
// is taken as struck too.
std::map<std::int64_t, Amended> amendments(Sql& sql, std::int64_t also_struck = 0);

// What an amendment of entry `number` bears on, by what the entry says, by what it said under any
// correction, and by `body` where one is to be put in its place: the batch of a step; every batch
// that a tin, lot, product, species, place, statement or reading reaches; nothing for a gift, a
// card, a note and the like. An amendment of an amendment bears on what that one named, and only on
// sign-offs since: an amendment that is struck has reopened nothing itself.
struct Touched {
  std::string with;  // a WITH clause: touched(id); the batches are among them
  std::string from;  // to bind to ?1
  std::int64_t since = 0;
  std::string pieces;  // JSON list of codes where it is about these pieces alone; else "[]"
};
Touched touched_by(Sql& sql, const std::string& schema, std::int64_t number,
                   const Json* body = nullptr);

// The same for ids, as "F1" or a batch's code: what an entry about them bears on.
Touched touched_by(const std::string& schema, const std::vector<std::string>& ids);

// Columns as entry_columns. Error::book naming the entry where a time or an offset is none.
Entry read_entry(const Row& row);
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
  void fold(const Entry& entry, const Amended& amended);
  void lay_lost();
  void pass_gap();
  void count_ids(const Facts& facts);
  void apply(const Entry& entry, const Json& body, Moment happened, const Facts& facts);
  void apply_batch(const Json& body);
  void apply_step(const Entry& entry, const Step& step, Moment happened);
  void apply_to_pieces(const Entry& entry, const Json& body, Moment happened);
  void count_those_here(const std::string& batch);
  void note_wrong(const Entry& entry, const Json& body);
  void settle(const std::vector<std::string>& pieces, const char* what);
  void check_amendment(const Entry& entry, const Json& body);
  void reopen_sign_offs(std::int64_t target);
  std::string table(const char* name) const { return schema_ + "." + name; }

  Sql& sql_;
  std::string schema_;
  Rescues rescues_;  // of a rebuild
};

}  // namespace trencher::book
