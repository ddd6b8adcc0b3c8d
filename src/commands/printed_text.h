// Findings on free text of the maker's that a paper would print although it claims too much.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"
#include "engine/finding.h"

namespace trencher::commands {

// Text by where it comes from: "the maker's name", "X1".
using PrintedText = std::pair<std::string, std::string>;

// A stop for each claim in what goes out with a board, a caution (`stop` false) where the paper
// stays in the shop and quotes what somebody else called a thing.
std::vector<engine::Finding> claims_in_print(const std::vector<PrintedText>& texts, bool stop);

// What the card of a batch's boards prints of words that are not ours: name, address, contact and
// responsible person, own woods, what was fitted, ingredients as a supplier's list names them.
std::vector<PrintedText> card_texts(Call& call, const BatchView& view);
// What letters and the record quote besides: names of tins, things and products, suppliers.
std::vector<PrintedText> stock_texts(const BatchView& view);

}  // namespace trencher::commands
