// The things of a batch that have a place in the calendar, each one event for ever: a step by its
// ordinal, a date by its name, rags by their entry. Pieces that go their own way have their own.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "commands/shop.h"

namespace trencher::commands {

struct Thing {
  std::int64_t way = 0;  // the split or take-back whose way it is of; 0: the batch's own
  std::string name;      // coat-2, sand-1, food-contact, rags-31
  auto operator<=>(const Thing&) const = default;
};

// "coat 2", "sand", "may be packed": for the eye.
std::string words_of(const Thing& thing);
// "26-014-w57-coat-2@<book>"
std::string uid_of(const std::string& batch, const Thing& thing, const std::string& book);
// Whether it is of a day rather than of a moment.
bool takes_whole_day(const Thing& thing);

// The dates that have a thing of their own, and sign-off.
bool is_named_date(std::string_view step);
// Those that wait for the last coat: handle, pack, food-contact.
bool follows_last_coat(std::string_view name);

// What was done to a piece, counted anew on each way that it went.
struct PieceLog {
  std::vector<std::pair<const Step*, Thing>> done;  // by when it happened
  std::int64_t way = 0;                             // that it goes now
  std::map<std::string, int, std::less<>> counts;   // of each kind of step on that way
  bool glued = false;
  std::optional<Instant> worked;  // the first work on it since the last glue-up
  // The coming step of that kind, or the date.
  Thing next(const std::string& step) const;
};

// Pieces to which the same happened.
struct Group {
  std::vector<int> pieces;
  PieceLog log;
  Standing standing;
  engine::Progress progress;
  bool coats_are_on = false;
};
// All pieces of the batch as everything stands that the view knows; logs point into the view.
std::vector<Group> groups_of(const BatchView& view);

}  // namespace trencher::commands
