// Pixels out of a JPEG and into one: the one place that knows the JPEG library.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace trencher::paper {

// Red, green and blue, row by row from the top.
struct Pixels {
  int width = 0, height = 0;
  std::vector<std::uint8_t> rgb;
  const std::uint8_t* at(int x, int y) const {
    return rgb.data() + (static_cast<std::size_t>(y) * width + x) * 3;
  }
};

struct JpegFile {
  int width = 0, height = 0;  // as it says itself, before any scaling
  int orientation = 1;        // of EXIF, 1 to 8
  Pixels pixels;              // scaled, not yet turned
};

// Decodes all of it, scaled by 1, 1/2, 1/4 or 1/8 so that the longer side is no shorter than
// `wanted` (or not scaled). std::runtime_error with the reason where it is no JPEG, is damaged or
// cut off, or has more than `most_side` pixels on a side or `most_area` in all.
JpegFile read_jpeg(std::string_view bytes, int wanted, int most_side, std::int64_t most_area);

// Baseline, without any metadata. std::runtime_error where the library refuses.
std::string write_jpeg(const Pixels& pixels);

}  // namespace trencher::paper
