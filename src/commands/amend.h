// Corrections, strikes and whatever else comes late: what it reaches and makes wrong.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "book/queries.h"
#include "commands/call.h"
#include "commands/claims.h"

namespace trencher::commands {

// Declares what correct and strike share, parses, and sees that an entry and a reason are there.
void parse_amendment(Call& call, std::string& entry, std::string& why);

// An entry's number as it is typed. Error::request where there is no such entry.
book::Effective need_entry(Call& call, const std::string& typed);

// How things stood before an entry, to say afterwards what it made wrong.
class Reach {
 public:
  // Takes down the pieces of these batches that are signed off, have a card, have been answered
  // about or have left. Call
  // before the entry is appended, or the first of several.
  Reach(Call& call, const std::vector<std::string>& batches);

  // Appends an entry with what it makes wrong in its body, which is tried out first. Of several
  // entries that belong together the last is appended so, when the others stand.
  std::int64_t append(Call& call, book::Writing& writing, std::string_view kind, Json body,
                      const book::Stamp& stamp);

  // After append(): {"batch","reopened","given","cards","answered","changes"} for each batch.
  Json affected(Call& call) const;
  // `entry`: the one that made it wrong, by which `due` lists it.
  void say(Call& call, std::int64_t entry) const;
  // Where a date of first food contact has moved later: a stop for each sign-off or gift that it
  // now lies behind and did not before, a caution for each card that carries another.
  const std::vector<engine::Finding>& passed_by() const { return passed_by_; }

 private:
  struct Before {
    std::string batch;
    std::vector<book::PieceState> pieces;  // signed off, with a card or an answer, or gone
    std::map<int, Claim> claims;
  };
  void compare(Call& call);
  void compare_batch(Call& call, const Before& before);
  void find_passed(Call& call, const Before& before, const std::map<int, Claim>& now);
  std::vector<Before> before_;
  std::vector<MadeWrong> wrong_;
  std::vector<engine::Finding> passed_by_;
};

// What was changed, what is contained now first, and answers that changed alike together.
std::vector<std::string> words_of_changes(std::vector<MadeWrong::Change> changes);
// "first food contact: Sat 5 Dec 2026 → Mon 7 Dec 2026"
std::string change_words(const MadeWrong::Change& change);
std::string join_numbers(const std::vector<std::int64_t>& numbers);  // "12 and 14"

// Error::request naming an entry that needs an id which the amendment would make vanish.
void demand_nothing_vanishes(Call& call, std::int64_t number, const Json* body);

}  // namespace trencher::commands
