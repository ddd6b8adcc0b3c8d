// What the book holds about a person: the row of the vault, the entries that name it, and free text
// that happens to.
#pragma once

#include <string>
#include <vector>

#include "book/queries.h"
#include "commands/call.h"

namespace trencher::commands {

struct HeldEntry {
  book::Effective entry;
  std::string words;  // what it says, without the name
  std::vector<std::string>
      codes;  // of the boards that it is about; batches where it names no piece
};

struct Held {
  book::Person person;
  std::vector<HeldEntry> entries;
  std::vector<std::int64_t> in_text;  // entries in whose free text the name or contact stands
};

// Everybody in the vault, by name.
std::vector<book::Person> people_of(Call& call);
Held held_about(Call& call, const book::Person& person);

// Those of that name (compared without regard to case), or whose id begins with `typed` (six signs
// or more). Error::request with near matches where there is none.
std::vector<book::Person> need_people(Call& call, const std::string& typed);

}  // namespace trencher::commands
