// What a letter says, block by block, for the text and the PDF alike.
#pragma once

#include <string>
#include <vector>

#include "paper/letter.h"

namespace trencher::paper {

enum class LetterPart { subject, text, heading, strong, bullet, sender, small };

struct LetterBlock {
  LetterPart part = LetterPart::text;
  std::string text;
};

// Error request: an unknown language, no board.
std::vector<LetterBlock> letter_blocks(const LetterContent& content);

}  // namespace trencher::paper
