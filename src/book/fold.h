// The fold that makes the state of the journal: what each entry in force changes in the tables. An
// entry's latest correction counts; a struck entry leaves only its mentions. Folding never judges
// an entry again.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "book/chain.h"
#include "book/entry.h"
#include "book/kinds.h"
#include "book/tables_in_memory.h"
#include "domain/records.h"

namespace trencher::book {

class Sql;

// What corrections and strikes make of the entry that they name.
struct Amended {
  std::optional<std::int64_t> corrected_by, struck_by;
  std::string correction;  // the body of corrected_by
};

// The corrections and strikes of a journal, taken in its order.
class Amendments {
 public:
  void take(std::int64_t number, bool strike, std::string body);
  // By the entries amended. A struck correction or strike counts for nothing; `also_struck` (0:
  // none) is taken as struck too.
  std::map<std::int64_t, Amended> all(std::int64_t also_struck = 0) const;

 private:
  struct One {
    std::int64_t number = 0;
    bool strike = false;
    std::string body;
  };
  std::vector<One> taken_;
};
Amendments amendments(Sql& sql);

// What an amendment is about: the ids through which it bears on batches, the pieces where it is
// about these alone (none: about all), and the entry behind which a sign-off knew no better.
struct Ground {
  std::vector<std::string> ids, pieces;
  std::int64_t since = 0;
};
// `corrections`: those of the entry that `number` amends in the end, or of itself; `body`: what is
// to be put in its place.
Ground ground_of(Sql& sql, std::int64_t number,
                 const std::function<std::vector<std::int64_t>(std::int64_t of)>& corrections,
                 const Json* body = nullptr);

// One entry's effect on the tables of the state, wherever they are.
class Folding {
 public:
  explicit Folding(Tables& tables) : tables_(tables) {}
  // The entry's mentions and the ids that it gives out.
  void speak(const Entry& entry, const Facts& facts, bool struck);
  void count_ids(const Facts& facts);
  // What it does, unless it is an amendment or a rescue.
  void apply(const Entry& entry, const Json& body, Moment happened, const Facts& facts);

 private:
  void apply_step(const Entry& entry, const Step& step, Moment happened);
  void take_from_tin(const std::string& tin, Moment happened, const std::optional<Amount>& amount);
  void apply_to_pieces(const Entry& entry, const Json& body, Moment happened);
  void note_wrong(const Entry& entry, const Json& body);
  Tables& tables_;
};

// Folds a whole journal, entry by entry in its order.
class Fold {
 public:
  // Rows as TablesInMemory's. `sql`: the book that holds the entries folded so far.
  Fold(Sql& sql, std::map<std::int64_t, Amended> amended, Rescues rescues, TablesInMemory::Use use);
  // `body`: the entry's own, read, and `facts` those of it.
  void take(const Entry& entry, const Json& body, const Facts& facts);
  void finish() { tables_.finish(); }

 private:
  void take_as(const Entry& entry, const Json& body, const Facts& facts, Moment happened,
               bool struck);
  void lay_lost();
  void pass_gap();
  void check_amendment(const Entry& entry, const Json& body);
  void reopen_sign_offs(std::int64_t amended);

  Sql& sql_;
  TablesInMemory tables_;
  Folding folding_;
  std::map<std::int64_t, Amended> amended_;
  std::map<std::int64_t, std::vector<std::int64_t>> corrections_;  // by what they correct
  Rescues rescues_;
  std::int64_t last_ = 0;
};

}  // namespace trencher::book
