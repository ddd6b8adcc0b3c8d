// Photographs: somebody's JPEG read with care, and made anew for print. What we did not encode
// ourselves is never given to the PDF library, and nothing but the pixels goes out: a phone writes
// into its pictures where they were taken.
#pragma once

#include <string>
#include <string_view>

namespace trencher::paper {

inline constexpr int fewest_pixels = 200;   // of a side
inline constexpr int most_side = 12000;     // of a side
inline constexpr int most_megapixels = 64;  // in all

struct PixelSize {
  int width = 0, height = 0;
};

// The size, upright, of a JPEG that decodes to its end. Error::request beginning with `what`
// ("board.jpg") where it is no JPEG, is damaged or cut off, or is too small or too large.
PixelSize demand_picture(std::string_view jpeg, std::string_view what);

// The picture as a baseline JPEG in RGB, upright, its longer side of at most `most_pixels`, without
// anything but the pixels. Error::request as demand_picture, but of any size from one pixel on.
std::string plain_picture(std::string_view jpeg, int most_pixels);

}  // namespace trencher::paper
