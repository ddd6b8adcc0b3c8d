// What a piece's care card says, out of the record.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "book/queries.h"
#include "commands/shop.h"
#include "engine/card_lines.h"
#include "paper/card.h"

namespace trencher::commands {

// For whom a card is made.
struct CardWish {
  std::string market, as;
  bool food_business = false;
};

// As the piece went, else to the workshop's first market as a sale; what is given here comes first.
CardWish card_wish(Call& call, const book::PieceState& piece, const std::string& market,
                   const std::string& as);

struct PieceCard {
  std::vector<paper::CardContent> contents;  // one a language
  engine::CardCase lines;
  std::optional<Day> food_contact;
  bool guessed = false;
};

PieceCard piece_card(Call& call, const BatchView& view, const book::PieceState& piece,
                     const CardWish& wish, const std::vector<std::string>& languages);

// Error::request where a rule of the market asks for a line that the book cannot fill.
void need_lines(Call& call, const BatchView& view, const PieceCard& card, const CardWish& wish,
                const std::string& code);

}  // namespace trencher::commands
