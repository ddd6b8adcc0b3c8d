// What a care card says: the template filled in for one piece.
#pragma once

#include <string>
#include <vector>

#include "paper/card.h"
#include "paper/phrases.h"

namespace trencher::paper {

// Where a text goes on a card.
enum class CardRole { title, head, contact, contact_note, section, text, strong, maker, foot, law };

struct CardLine {
  std::string key;  // of engine::card_line_keys(); empty: of a section's heading
  CardRole role;
  std::string text;
};

struct CardText {
  std::string document;         // the name of the file, as PDF readers show it
  std::vector<CardLine> lines;  // in the order of the card
  std::string code;             // "Piece 26-014-03-24": on both sides
  std::string overleaf;         // says on the front that it goes on
  std::string continued;        // heads the back
};

// Error request for an unknown language, a missing code or maker, or a control character.
CardText card_text(const CardContent& card);
// The keys of its lines, in the order of engine::card_line_keys().
std::vector<std::string> printed_keys(const CardText& text);
// The one sentence that differs between cards that say the same.
std::string code_sentence(const Words& card_words, const std::string& code);

}  // namespace trencher::paper
