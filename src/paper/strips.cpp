#include "paper/strips.h"

#include <algorithm>
#include <array>

namespace trencher::paper {
namespace {

constexpr int strips = 15;
// Relative widths of one half of the band, outer strip first; the middle strip is the last.
constexpr std::array<double, 8> widths = {5, 2, 7, 3, 4, 2, 6, 8};
constexpr std::array<double, 5> greys = {0.93, 0.25, 0.68, 0.45, 1};

// Left edges of the strips and the right edge of the last, from 0 to 1, the same from both ends.
std::array<double, strips + 1> edges() {
  std::array<double, strips + 1> out{};
  for (int i = 0; i < strips; ++i) out[i + 1] = out[i] + widths[std::min(i, strips - 1 - i)];
  const double total = out.back();
  for (double& edge : out) edge /= total;
  return out;
}

}  // namespace

void draw_strips(Document& document, const Rect& band, int woods) {
  const Stroke joint{0.15, 0, {}};
  const int kinds = std::max(woods, 1);
  const auto at = edges();
  const double height = band.height / 2;
  for (int row = 0; row < 2; ++row)
    for (int i = 0; i < strips; ++i) {
      // The rows are shifted by one wood, as when a board is crosscut and every other piece is
      // turned.
      const int wood = (std::min(i, strips - 1 - i) + row) % kinds;
      const Rect strip{band.x + at[i] * band.width, band.y + row * height,
                       (at[i + 1] - at[i]) * band.width, height};
      document.fill(strip, greys[wood % greys.size()]);
      document.outline(strip, joint);
    }
}

}  // namespace trencher::paper
