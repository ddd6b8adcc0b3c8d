// What the record says of a piece at a moment of the book: what its card or an answer would tell.
// Compared before and after an entry, it shows what that entry made wrong.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "commands/shop.h"

namespace trencher::commands {

struct Claim {
  std::optional<Day> food_contact;
  bool guessed = false;
  // By topic: use, size, wood, glue, finish, other in words; each allergen and substance its
  // answer.
  std::map<std::string, std::string> said;
};

// The entries that name the piece: pieces with the same entries have had the same done to them.
std::vector<std::int64_t> entries_naming(const BatchView& view, int piece);
// The claims of several pieces of one batch; those to which the same was done are reckoned once.
std::map<int, Claim> claims_of(Call& call, const BatchView& view, const std::vector<int>& pieces);
// The latest card of a piece, of the life that it leads now; null: none.
const PrintedCard* card_of(const std::vector<PrintedCard>& cards, const book::PieceState& piece);
// Lays down on a card what it says.
void lay_claim(const Claim& claim, PrintedCard& card);
// Whether the card says otherwise than the claim.
bool says_otherwise(const PrintedCard& card, const Claim& claim);
// The latest answer about a piece that was kept; null: none.
const KeptAnswer* latest_answer(const std::vector<KeptAnswer>& answers, int piece);
void lay_claim(const Claim& claim, KeptAnswer& answer);
// Whether the answer says otherwise than the claim, of the topics that it speaks of.
bool says_otherwise(const KeptAnswer& answer, const Claim& claim);
// Of each topic on which they part.
std::vector<MadeWrong::Change> changes(const KeptAnswer& answer, const Claim& now);
std::vector<MadeWrong::Change> changes(const Claim& before, const Claim& now);
// "Mon 7 Dec 2026", "not known"; guessed ones say so.
std::string day_words(const std::optional<Day>& day, bool guessed);

}  // namespace trencher::commands
