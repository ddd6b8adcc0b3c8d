// Corrections and strikes: what they reach, and the report of it.
#pragma once

#include <string>
#include <vector>

#include "book/queries.h"
#include "commands/call.h"

namespace trencher::commands {

// Declares what correct and strike share, parses, and sees that an entry and a reason are there.
void parse_amendment(Call& call, std::string& entry, std::string& why);

// An entry's number as it is typed. Error::request where there is no such entry.
book::Effective need_entry(Call& call, const std::string& typed);

// How things stood before an amendment or a late reading, to say afterwards what it changed.
class Reach {
 public:
  // Takes down what entry `number` bears on. Call before the amendment is appended.
  Reach(Call& call, std::int64_t number);
  // Takes down the batches that are or were at a place. Call before readings are appended.
  Reach(Call& call, std::string_view place);
  // Compares with the book as it stands now: sign-offs that are reopened, cards that carry another
  // date, pieces that have left.
  Json affected(Call& call) const;
  void say(Call& call, const Json& affected) const;
  // Where a date of first food contact has moved later: a stop for each sign-off or gift that it
  // now lies behind and did not before, a caution for each card that carries another.
  std::vector<engine::Finding> passed_by(Call& call) const;

 private:
  struct Before {
    std::string batch;
    std::vector<std::string> signed_off, given;
    std::optional<Day> food_contact;
  };
  void take_down(Call& call, const std::string& batch);
  std::vector<Before> before_;
};

// Error::request naming an entry that needs an id which the amendment would make vanish.
void demand_nothing_vanishes(Call& call, std::int64_t number, const Json* body);

}  // namespace trencher::commands
