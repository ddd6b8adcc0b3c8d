// JPEG files made with the library itself, for the tests of what reads them.
#pragma once

#include <cstddef>
#include <cstdio>
// clang-format off
#include <jpeglib.h>
// clang-format on

#include <array>
#include <cstdint>
#include <cstdlib>
#include <functional>
#include <string>
#include <vector>

namespace trencher::paper {

using Colour = std::array<int, 3>;
using Painter = std::function<Colour(int x, int y)>;

struct JpegWish {
  int width = 0, height = 0;
  Painter paint;
  std::string app1;  // bytes of an APP1 segment
  std::string comment;
  bool grey = false, progressive = false;
  bool inks = false, adobe = true;  // CMYK, with Adobe's marker and inverted inks or without
  std::vector<jpeg_scan_info> scans;
};

inline std::string made_jpeg(const JpegWish& wish) {
  jpeg_compress_struct info{};
  jpeg_error_mgr errors{};
  info.err = jpeg_std_error(&errors);
  jpeg_create_compress(&info);
  unsigned char* bytes = nullptr;
  unsigned long size = 0;
  jpeg_mem_dest(&info, &bytes, &size);
  info.image_width = static_cast<JDIMENSION>(wish.width);
  info.image_height = static_cast<JDIMENSION>(wish.height);
  info.input_components = wish.grey ? 1 : wish.inks ? 4 : 3;
  info.in_color_space = wish.grey ? JCS_GRAYSCALE : wish.inks ? JCS_CMYK : JCS_RGB;
  jpeg_set_defaults(&info);
  jpeg_set_quality(&info, 95, TRUE);
  if (wish.inks) info.write_Adobe_marker = wish.adobe ? TRUE : FALSE;
  if (wish.progressive) jpeg_simple_progression(&info);
  if (!wish.scans.empty()) {
    info.scan_info = wish.scans.data();
    info.num_scans = static_cast<int>(wish.scans.size());
  }
  jpeg_start_compress(&info, TRUE);
  const auto segment = [&](int marker, const std::string& text) {
    if (!text.empty())
      jpeg_write_marker(&info, marker, reinterpret_cast<const JOCTET*>(text.data()),
                        static_cast<unsigned>(text.size()));
  };
  segment(JPEG_APP0 + 1, wish.app1);
  segment(JPEG_COM, wish.comment);
  std::vector<JSAMPLE> row(static_cast<std::size_t>(wish.width) * 4);
  for (int y = 0; y < wish.height; ++y) {
    std::size_t at = 0;
    for (int x = 0; x < wish.width; ++x) {
      const Colour colour = wish.paint(x, y);
      const auto put = [&](int value) { row[at++] = static_cast<JSAMPLE>(value); };
      if (wish.grey) {
        put(colour[0]);
        continue;
      }
      for (const int part : colour) put(wish.inks && !wish.adobe ? 255 - part : part);
      if (wish.inks) put(wish.adobe ? 255 : 0);
    }
    JSAMPROW line = row.data();
    jpeg_write_scanlines(&info, &line, 1);
  }
  jpeg_finish_compress(&info);
  std::string out(reinterpret_cast<const char*>(bytes), size);
  jpeg_destroy_compress(&info);
  std::free(bytes);
  return out;
}

struct Decoded {
  int width = 0, height = 0, components = 0;
  std::vector<JSAMPLE> samples;
  Colour at(int x, int y) const {
    const JSAMPLE* pixel = samples.data() + (static_cast<std::size_t>(y) * width + x) * components;
    return {pixel[0], pixel[1], pixel[2]};
  }
};

inline Decoded decoded(const std::string& jpeg) {
  jpeg_decompress_struct info{};
  jpeg_error_mgr errors{};
  info.err = jpeg_std_error(&errors);
  jpeg_create_decompress(&info);
  jpeg_mem_src(&info, reinterpret_cast<const unsigned char*>(jpeg.data()), jpeg.size());
  jpeg_read_header(&info, TRUE);
  jpeg_start_decompress(&info);
  Decoded out{static_cast<int>(info.output_width),
              static_cast<int>(info.output_height),
              info.output_components,
              {}};
  out.samples.resize(static_cast<std::size_t>(out.width) * out.height * out.components);
  for (int y = 0; y < out.height; ++y) {
    JSAMPROW line = out.samples.data() + static_cast<std::size_t>(y) * out.width * out.components;
    jpeg_read_scanlines(&info, &line, 1);
  }
  jpeg_finish_decompress(&info);
  jpeg_destroy_decompress(&info);
  return out;
}

// An EXIF segment that says how the picture lies, and where it was taken.
inline std::string exif(int orientation, bool little = true,
                        const std::string& place = "GPS 51.4778 N 0.0015 W") {
  const auto number = [&](unsigned value, int length) {
    std::string out;
    for (int i = 0; i < length; ++i) {
      const int shift = 8 * (little ? i : length - 1 - i);
      out += static_cast<char>(value >> shift & 0xFF);
    }
    return out;
  };
  std::string out("Exif\0\0", 6);
  out += little ? "II" : "MM";
  out += number(42, 2) + number(8, 4) + number(2, 2);
  out += number(0x010F, 2) + number(2, 2) + number(4, 4) + number(0x00616263, 4);  // a maker
  out += number(0x0112, 2) + number(3, 2) + number(1, 4) +
         number(static_cast<unsigned>(orientation), 2) + number(0, 2);
  return out + number(0, 4) + place;
}

}  // namespace trencher::paper
