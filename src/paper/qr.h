// QR codes (ISO/IEC 18004), error correction level M: about 15 % of a smeared code can be restored.
#pragma once

#include <string>

#include "paper/document.h"

namespace trencher::paper {

// Draws the code of `content` in a square of `side` mm at `top_left`, with its quiet zone of four
// modules inside the square, and returns the size of a module in mm. Error request: content too
// long for a code.
double draw_qr(Document& document, Point top_left, double side, const std::string& content);

}  // namespace trencher::paper
