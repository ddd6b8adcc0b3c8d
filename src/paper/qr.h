// QR codes (ISO/IEC 18004), error correction level M: about 15 % of a smeared code can be restored.
#pragma once

#include <string>
#include <vector>

#include "paper/document.h"

namespace trencher::paper {

// The code of a text, to be drawn as often as one likes.
class QrCode {
 public:
  // Error request: content too long for a code.
  explicit QrCode(const std::string& content);
  // In a square of `side` mm at `top_left`, with its quiet zone of four modules inside the square.
  // Returns the size of a module in mm.
  double draw(Document& document, Point top_left, double side) const;

 private:
  int width_ = 0;           // in modules, the quiet zone among them
  std::vector<Rect> dark_;  // one for each run of dark modules in a row
};

}  // namespace trencher::paper
