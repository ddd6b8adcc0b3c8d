#include "paper/picture.h"

#include <fmt/format.h>

#include <algorithm>
#include <stdexcept>

#include "domain/error.h"
#include "paper/jpeg.h"

namespace trencher::paper {
namespace {

constexpr std::int64_t most_area = std::int64_t{most_megapixels} * 1'000'000;

JpegFile read(std::string_view jpeg, int wanted, std::string_view what) {
  try {
    return read_jpeg(jpeg, wanted, most_side, most_area);
  } catch (const std::runtime_error& failure) {
    throw Error::request(fmt::format("{} cannot be taken as a picture: {}.", what, failure.what()));
  }
}

bool lies_on_its_side(int orientation) { return orientation >= 5; }

// From a pixel of the upright picture to the one stored: EXIF says where the stored picture's first
// row and first column lie (1: top, left; 6: right, top; and so on).
struct Place {
  int x, y;
};
Place stored_at(int x, int y, const Pixels& stored, int orientation) {
  const int right = stored.width - 1;
  const int bottom = stored.height - 1;
  switch (orientation) {
    case 2:
      return {right - x, y};
    case 3:
      return {right - x, bottom - y};
    case 4:
      return {x, bottom - y};
    case 5:
      return {y, x};
    case 6:
      return {y, bottom - x};
    case 7:
      return {right - y, bottom - x};
    case 8:
      return {right - y, x};
    default:
      return {x, y};
  }
}

Pixels upright(const Pixels& stored, int orientation) {
  Pixels out{stored.width, stored.height, {}};
  if (lies_on_its_side(orientation)) std::swap(out.width, out.height);
  out.rgb.reserve(stored.rgb.size());
  for (int y = 0; y < out.height; ++y)
    for (int x = 0; x < out.width; ++x) {
      const Place from = stored_at(x, y, stored, orientation);
      const std::uint8_t* pixel = stored.at(from.x, from.y);
      out.rgb.insert(out.rgb.end(), pixel, pixel + 3);
    }
  return out;
}

// Each new pixel is the mean of those under it.
Pixels scaled_down(const Pixels& from, int most_pixels) {
  const int longer = std::max(from.width, from.height);
  if (longer <= most_pixels) return from;
  const auto scaled = [&](int side) {
    return std::max(1, static_cast<int>(std::int64_t{side} * most_pixels / longer));
  };
  Pixels out{scaled(from.width), scaled(from.height), {}};
  out.rgb.reserve(static_cast<std::size_t>(out.width) * out.height * 3);
  const auto edge = [](int at, int of, int in) {
    return static_cast<int>(std::int64_t{at} * in / of);
  };
  for (int y = 0; y < out.height; ++y)
    for (int x = 0; x < out.width; ++x) {
      const int left = edge(x, out.width, from.width), top = edge(y, out.height, from.height);
      const int right = edge(x + 1, out.width, from.width);
      const int bottom = edge(y + 1, out.height, from.height);
      std::int64_t sums[3] = {0, 0, 0};
      for (int row = top; row < bottom; ++row)
        for (int column = left; column < right; ++column)
          for (int part = 0; part < 3; ++part) sums[part] += from.at(column, row)[part];
      const std::int64_t count = std::int64_t{right - left} * (bottom - top);
      for (const std::int64_t sum : sums)
        out.rgb.push_back(static_cast<std::uint8_t>((sum + count / 2) / count));
    }
  return out;
}

}  // namespace

PixelSize demand_picture(std::string_view jpeg, std::string_view what) {
  // An eighth of its size is enough to see that all of it decodes.
  const JpegFile file = read(jpeg, 1, what);
  if (std::min(file.width, file.height) < fewest_pixels)
    throw Error::request(fmt::format("{} has {} × {} pixels; a side has at least {}.", what,
                                     file.width, file.height, fewest_pixels));
  return lies_on_its_side(file.orientation) ? PixelSize{file.height, file.width}
                                            : PixelSize{file.width, file.height};
}

std::string plain_picture(std::string_view jpeg, int most_pixels) {
  const JpegFile file = read(jpeg, most_pixels, "The picture");
  return write_jpeg(upright(scaled_down(file.pixels, most_pixels), file.orientation));
}

}  // namespace trencher::paper
