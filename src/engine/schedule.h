// The dates of a batch: when clamps come off, when to flatten, when the next coat is due and by
// when at the latest, when pieces may be handled, packed, and touch food.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "domain/records.h"
#include "engine/cure.h"
#include "engine/losses.h"
#include "engine/mix.h"

namespace trencher::engine {

// Names are part of the command contract.
inline constexpr const char* clamps_off = "clamps-off";
inline constexpr const char* flatten = "flatten";
inline constexpr const char* next_coat = "next-coat";
inline constexpr const char* next_coat_by = "next-coat-by";
inline constexpr const char* handle = "handle";
inline constexpr const char* pack = "pack";
inline constexpr const char* food_contact = "food-contact";

struct Wait {              // what one date rests on: one product's wait from one step
  std::int64_t entry = 0;  // of the step it runs from; 0: a coat still to come
  std::string tin, tin_name;
  Instant start;
  Figure label;  // seconds
  Direction direction = Direction::shortest;
  CureLaw law;
  Reached reached;
};

struct Date {
  std::string name;
  std::optional<Instant>
      at;  // absent: no figure gives it, or it is never reached; `why` says which
  bool guessed = false;
  std::vector<std::string> why;  // reasons of the guess or of the absence, whole phrases
  std::optional<Wait> wait;      // the wait that decided; absent where none
  bool scuff_first = false;      // next-coat: the longest wait ends before it, or has passed
};

struct BatchWork {
  Batch batch;
  std::vector<Step> steps;  // effective, by when they happened, then by entry
  Tins tins;                // every tin that batch, steps and turns name, and what mixes come from
  std::vector<int> pieces;  // those that still count (not scrapped, say); empty: all
  std::vector<Turn> turns;  // as steps
  Losses losses;  // every date is then a guess, or absent where the batch or a tin is lost
};

// The conditions round each piece: pieces may be in different places.
class PieceConditions {
 public:
  PieceConditions(Conditions all) : all_(std::move(all)) {}
  void set(const std::vector<int>& pieces, Conditions own);
  const Conditions& of(int piece) const;  // 0: of the batch as a whole
  const Conditions& of(const std::vector<int>& pieces) const {
    return of(pieces.empty() ? 0 : pieces.front());
  }

 private:
  Conditions all_;
  std::vector<std::pair<std::vector<int>, Conditions>> own_;
};

struct Progress {
  // What is to be done next by the schedule: glue-up, sand, raise-grain, coat, scuff, inspect; and
  // sign-off once all of it is done. A batch with glue begins with glue-up. The first coat ends the
  // preparation, logged or not; a scuff of a slot comes between two coats of that slot.
  std::string next_step;
  // Of the piece's own way: what was put on before it was split off or taken back is not counted.
  int coats_done = 0, coats_planned = 0;  // over all slots
  bool coats_usual = false;               // no label says how many: the usual number is planned
  int slot = 0;                           // of the next coat, from 1; 0: none
  std::string next_tin;                   // the batch's tin of that slot
  bool scuffed_since_coat = false;        // scuffed or sanded
};

// For one piece (steps that name other pieces only are passed over), or for 0 the whole batch: the
// piece that is furthest behind.
Progress progress(const BatchWork& work, int piece);

// In the order of the names above; only those that apply (no glue: no clamps-off; all coats on: no
// next-coat). For piece 0 every date is the latest of any piece, next-coat-by the earliest.
//
// Each date is the latest over the products that it waits for: clamps-off and flatten over every
// glue-up, next-coat over the tins of the last coat (before the first coat: the glue's full cure),
// handle and pack over every coat, food contact over every coat and the glue's full cure. It is
// absent where one of them has no figure, or before the first step that it runs from; next-coat-by
// after a scuff too. Glue whose glue-up is not logged counts from the first coat, before which it
// must have been. While coats are still to come, dates after the last are guesses that assume each
// coat as soon as it is due.
//
// A mix waits for each of the tins that it comes from. A piece that was split off keeps the waits
// of what was put on before. One that came back used has no date to handle, pack or touch food
// before a coat is on anew, and the last stays a guess unless its owner says that nothing was put
// on.
//
// A date is guessed where the wait that decides it is the usual one or went through guessed
// conditions, and where another's did that readings alone would not have ended by then.
std::vector<Date> dates(const BatchWork& work, int piece, const PieceConditions& conditions,
                        Instant now);

// The arithmetic of one date in lines that a reader with a calculator can follow.
std::vector<std::string> explain(const Date& date, Units units, const LocalTime& local);

}  // namespace trencher::engine
