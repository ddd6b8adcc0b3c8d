// What a piece's care card says, out of the record.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "book/queries.h"
#include "commands/claims.h"
#include "commands/shop.h"
#include "engine/card_lines.h"
#include "engine/market.h"
#include "paper/card.h"

namespace trencher::commands {

// As the piece went, else to the workshop's first market as a sale; what is given here comes first.
engine::Leaving card_wish(Call& call, const BatchView& view, const book::PieceState& piece,
                          const std::string& market, const std::string& as);

struct PieceCard {
  std::vector<paper::CardContent> contents;  // one a language
  engine::CardCase lines;
  std::optional<Day> food_contact;
  bool guessed = false;
};

// `claim`: of that piece, see claims.h.
PieceCard piece_card(Call& call, const BatchView& view, const book::PieceState& piece,
                     const Claim& claim, const engine::Leaving& wish,
                     const std::vector<std::string>& languages);

// Error::request where one of the market's rules asks for a line that the card does not print, as
// the book cannot fill it.
void need_lines(const std::vector<Rule>& rules, const BatchView& view, const PieceCard& card,
                const engine::Leaving& wish, const std::vector<std::string>& printed,
                const std::string& code);

// The lines that every card of the batch carries, whatever was done to single pieces.
std::vector<std::string> card_lines_of(Call& call, const BatchView& view,
                                       const engine::Leaving& leaving);

}  // namespace trencher::commands
