#include "paper/visual.h"

#include <fribidi.h>

#include <algorithm>

#include "domain/error.h"

namespace trencher::paper {
namespace {

// From the first letter of these on, an order of drawing is to be found.
bool runs_leftwards(char32_t value) {
  return (value >= 0x0590 && value < 0x0900) || (value >= 0xFB1D && value < 0xFE00) ||
         (value >= 0xFE70 && value < 0xFF00) || (value >= 0x10800 && value < 0x11000) ||
         (value >= 0x1E800 && value < 0x1F000);
}

// The library's sign for the second half of a ligature is U+FEFF.
bool is_left_out(char32_t value) {
  return value == 0xFEFF || value == 0x200C || value == 0x200D ||
         (value >= 0xFE00 && value <= 0xFE0F) || (value >= 0x180B && value <= 0x180F) ||
         (value >= 0xE0100 && value <= 0xE01EF);
}

}  // namespace

std::u32string visual(const std::vector<Character>& line) {
  std::u32string out;
  for (const Character& c : line) out += c.value;
  if (std::any_of(out.begin(), out.end(), runs_leftwards)) {
    const std::vector<FriBidiChar> read(out.begin(), out.end());
    std::vector<FriBidiChar> drawn(read.size());
    FriBidiParType direction = FRIBIDI_PAR_LTR;
    if (!fribidi_log2vis(read.data(), static_cast<FriBidiStrIndex>(read.size()), &direction,
                         drawn.data(), nullptr, nullptr, nullptr))
      throw Error::book("Cannot lay out a line that runs from right to left: memory ran out.");
    out.assign(drawn.begin(), drawn.end());
  }
  std::erase_if(out, is_left_out);
  return out;
}

std::set<char32_t>& lacking() {
  static std::set<char32_t> all;
  return all;
}

}  // namespace trencher::paper
