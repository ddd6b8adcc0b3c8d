// The pieces that a recall is about, who has or had them, and how far it has come.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "book/queries.h"
#include "commands/recall_scope.h"
#include "commands/touched.h"

namespace trencher::commands {

// A time that a piece was with somebody.
struct Holding {
  Gift gift;
  std::optional<Moment> until;  // absent: still
};

struct RecalledPiece {
  TouchedPiece piece;
  Batch batch;
  std::optional<Moment> finished, signed_off;  // the last coat; the sign-off that counts
  std::optional<Holding> now;                  // with whom it is
  std::vector<Holding> before;                 // who had it after it was put on, and gave it back
  bool back = false;                           // it is here after it had left
  // reached, no-answer, destroyed, returned (taken back since it was withdrawn), scrapped, here,
  // not yet told, stranger (who left no name), unknown person (forgotten).
  std::string state;
  std::optional<RecallStep> told;  // the entry that says so

  // here, gift, sale, private-gift, scrapped, taken back
  std::string whereabouts() const;
};

// By code.
std::vector<RecalledPiece> recalled_pieces(Call& call, const RecallScope& scope);

// Somebody who has or had such pieces.
struct RecalledPerson {
  std::string id;
  std::optional<book::Person> person;  // absent: forgotten, or a stranger
  std::string stranger;                // "a stranger at Eastwold market": all of one event
  std::vector<const RecalledPiece*> now, before;
  std::set<std::string> markets;
  bool has_contact() const { return person && !person->contact.empty(); }
};
// By name, then the forgotten, then strangers. `pieces` must outlive them.
std::vector<RecalledPerson> recalled_people(Call& call, const std::vector<RecalledPiece>& pieces);

struct RecallNumbers {
  int pieces = 0;
  int left = 0;  // with somebody, and neither destroyed nor scrapped
  int with_contact = 0, without_contact = 0, forgotten = 0, strangers = 0;  // of those
  std::map<std::string, int> whereabouts, states;
  int of_state(const std::string& state) const;
  int of_whereabouts(const std::string& where) const;
  // At the shop, scrapped, destroyed, or with somebody whose name the book has.
  int accounted_for() const { return pieces - forgotten - strangers; }
  // Nothing is left to be told about them: here, back, scrapped, destroyed or reached.
  int settled() const;
};
RecallNumbers numbers_of(Call& call, const std::vector<RecalledPiece>& pieces);

// "3 of 4 (75.0 %)": never rounded up to all; "0 of 0".
std::string share_words(int part, int whole);
Json share_json(int part, int whole);  // percent; null of nothing

}  // namespace trencher::commands
