// The engine's answers as a letter in one of the four languages. See paper/letter.h.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "commands/mended.h"
#include "commands/shop.h"
#include "engine/evidence.h"
#include "paper/language.h"
#include "paper/letter.h"

namespace trencher::commands {

// Boards to which the same answers were given, one answer to each question.
struct AnsweredBoards {
  std::vector<std::string> codes;  // as the letter calls them: of pieces, or of the batch
  std::vector<int> pieces;         // their numbers; empty: all of the batch
  std::vector<engine::Answer> answers;
  std::vector<Mended> mended{};  // what was corrected or struck under them
};

// Puts boards that got the same answers together, in the order of the first of each.
std::vector<AnsweredBoards> together(std::vector<AnsweredBoards> boards);

// What holds for several answers, each once: what is withdrawn first, the doctor last; of timber
// the fuller sentence only. That none recorded is not free from stands beside each answer.
std::vector<engine::Sentence> notes_of(const std::vector<AnsweredBoards>& boards);

// All but what a complaint adds. The position is that of the book as it stands. Error::request for
// an unknown language.
paper::LetterContent letter_content(Call& call, const BatchView& view,
                                    const std::vector<AnsweredBoards>& boards,
                                    std::string_view language);

// "hard maple (Acer saccharum) and black walnut (Juglans nigra)", in the language; empty: not
// recorded.
std::string woods_in_words(const BatchView& view, const paper::Language& language);
// "cutting board, 400 × 250 × 22 mm, hard maple (Acer saccharum)", in the language.
std::string board_in_words(Call& call, const BatchView& view, std::string_view language);
}  // namespace trencher::commands
