// What a piece's care card says, out of the record.
#pragma once

#include <optional>
#include <vector>

#include "book/queries.h"
#include "commands/shop.h"
#include "paper/card.h"

namespace trencher::commands {

struct PieceCard {
  paper::CardContent content;
  std::optional<Day> food_contact;
  bool guessed = false;
};

PieceCard piece_card(Call& call, const BatchView& view, const book::PieceState& piece);

// "5 December 2026"
std::string long_day(Day day);

}  // namespace trencher::commands
