#include "paper/jpeg.h"

// The library's header wants FILE and size_t to be there.
#include <cstddef>
#include <cstdio>
// clang-format off
#include <jpeglib.h>
#include <jerror.h>
// clang-format on

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <csetjmp>
#include <cstdlib>
#include <stdexcept>

namespace trencher::paper {
namespace {

constexpr int quality = 88;
constexpr int most_scans = 200;  // of a progressive file; more are made to keep a reader busy
constexpr int exif_marker = JPEG_APP0 + 1;

// How the library fails: it calls us and we must not return. We jump out of its frames, which are
// C, into `guarded`, whose own frames hold nothing that a jump would leave undestroyed; from there
// on errors are C++ exceptions.
struct Failure {
  jpeg_error_mgr manager;  // first: the library hands back a pointer to it
  std::jmp_buf back;
  std::array<char, JMSG_LENGTH_MAX> text;
};

Failure& failure_of(j_common_ptr info) { return *reinterpret_cast<Failure*>(info->err); }

[[noreturn]] void leave(j_common_ptr info) {
  Failure& failure = failure_of(info);
  info->err->format_message(info, failure.text.data());
  std::longjmp(failure.back, 1);
}

// A warning means that pixels were made up. Bytes to spare between two markers harm nothing.
void judge_message(j_common_ptr info, int level) {
  if (level < 0 && info->err->msg_code != JWRN_EXTRANEOUS_DATA) leave(info);
}

void say_nothing(j_common_ptr) {}

void watch_scans(j_common_ptr info) {
  if (reinterpret_cast<j_decompress_ptr>(info)->input_scan_number <= most_scans) return;
  Failure& failure = failure_of(info);
  std::snprintf(failure.text.data(), failure.text.size(), "it has more than %d scans", most_scans);
  std::longjmp(failure.back, 1);
}

jpeg_error_mgr* set_up(Failure& failure) {
  jpeg_std_error(&failure.manager);
  failure.manager.error_exit = leave;
  failure.manager.emit_message = judge_message;
  failure.manager.output_message = say_nothing;
  return &failure.manager;
}

// Runs calls to the library. `body` must keep nothing alive that has a destructor.
template <typename Body>
void guarded(Failure& failure, const Body& body) {
  if (setjmp(failure.back) == 0)
    body();
  else
    throw std::runtime_error(failure.text.data());
}

// Numbers of a TIFF header, in its own order of bytes.
class Tiff {
 public:
  explicit Tiff(std::string_view bytes) : bytes_(bytes), little_(bytes.starts_with("II")) {}
  bool reaches(std::size_t at, std::size_t length) const {
    return at <= bytes_.size() && length <= bytes_.size() - at;
  }
  std::uint32_t number(std::size_t at, int length) const {
    std::uint32_t out = 0;
    for (int i = 0; i < length; ++i) {
      const auto byte = static_cast<unsigned char>(
          bytes_[at + static_cast<std::size_t>(little_ ? length - 1 - i : i)]);
      out = out << 8 | byte;
    }
    return out;
  }

 private:
  std::string_view bytes_;
  bool little_;
};

// The tag 0x0112 of the first directory (EXIF 2.3, 4.6.2 and table 4; TIFF 6.0, from memory); 1
// where there is none that can be read.
int orientation_in(std::string_view app1) {
  constexpr std::string_view head("Exif\0\0", 6);
  if (!app1.starts_with(head)) return 1;
  const Tiff tiff(app1.substr(head.size()));
  if (!tiff.reaches(0, 8) || tiff.number(2, 2) != 42) return 1;
  const std::size_t directory = tiff.number(4, 4);
  if (!tiff.reaches(directory, 2)) return 1;
  const std::size_t count = tiff.number(directory, 2);
  for (std::size_t i = 0; i < count; ++i) {
    const std::size_t field = directory + 2 + i * 12;
    if (!tiff.reaches(field, 12)) return 1;
    if (tiff.number(field, 2) != 0x0112) continue;
    const std::uint32_t value = tiff.number(field + 8, 2);
    return value >= 1 && value <= 8 ? static_cast<int>(value) : 1;
  }
  return 1;
}

// Ink to light. Adobe's files hold the inks inverted (libjpeg.txt, "Special color spaces").
void from_inks(const std::vector<std::uint8_t>& inks, bool inverted, std::uint8_t* rgb) {
  for (std::size_t i = 0; i + 3 < inks.size(); i += 4) {
    const auto light = [&](std::size_t part) {
      return inverted ? inks[i + part] : 255 - inks[i + part];
    };
    for (std::size_t part = 0; part < 3; ++part)
      *rgb++ = static_cast<std::uint8_t>(light(part) * light(3) / 255);
  }
}

class Reader {
 public:
  // Made by the other first, so that the destructor runs where this one throws.
  explicit Reader(std::string_view bytes) : Reader() {
    guarded(failure_, [&] {
      jpeg_create_decompress(&info_);
      made_ = true;
      progress_.progress_monitor = watch_scans;
      info_.progress = &progress_;
      jpeg_mem_src(&info_, reinterpret_cast<const unsigned char*>(bytes.data()), bytes.size());
      jpeg_save_markers(&info_, exif_marker, 0xFFFF);
      jpeg_read_header(&info_, TRUE);
    });
  }
  Reader() { info_.err = set_up(failure_); }
  ~Reader() {
    if (made_) jpeg_destroy_decompress(&info_);
  }
  Reader(const Reader&) = delete;
  Reader& operator=(const Reader&) = delete;

  int width() const { return static_cast<int>(info_.image_width); }
  int height() const { return static_cast<int>(info_.image_height); }

  int orientation() const {
    for (auto* marker = info_.marker_list; marker; marker = marker->next)
      if (marker->marker == exif_marker)
        return orientation_in({reinterpret_cast<const char*>(marker->data), marker->data_length});
    return 1;
  }

  Pixels pixels(int wanted) {
    const bool inks = info_.num_components == 4;
    info_.out_color_space = inks ? JCS_CMYK : JCS_RGB;
    info_.scale_num = 1;
    info_.scale_denom = 1;
    while (info_.scale_denom < 8 &&
           std::max(width(), height()) / static_cast<int>(info_.scale_denom * 2) >= wanted)
      info_.scale_denom *= 2;
    guarded(failure_, [&] { jpeg_start_decompress(&info_); });
    Pixels out{static_cast<int>(info_.output_width), static_cast<int>(info_.output_height), {}};
    out.rgb.resize(static_cast<std::size_t>(out.width) * out.height * 3);
    std::vector<std::uint8_t> row(static_cast<std::size_t>(out.width) * 4);
    for (int y = 0; y < out.height; ++y) {
      std::uint8_t* target = out.rgb.data() + static_cast<std::size_t>(y) * out.width * 3;
      std::uint8_t* into = inks ? row.data() : target;
      guarded(failure_, [&] { jpeg_read_scanlines(&info_, &into, 1); });
      if (inks) from_inks(row, info_.saw_Adobe_marker, target);
    }
    guarded(failure_, [&] { jpeg_finish_decompress(&info_); });
    return out;
  }

 private:
  jpeg_decompress_struct info_{};
  jpeg_progress_mgr progress_{};
  Failure failure_{};
  bool made_ = false;
};

class Writer {
 public:
  Writer() { info_.err = set_up(failure_); }
  ~Writer() {
    if (made_) jpeg_destroy_compress(&info_);
    std::free(bytes_);
  }
  Writer(const Writer&) = delete;
  Writer& operator=(const Writer&) = delete;

  std::string write(const Pixels& pixels) {
    guarded(failure_, [&] {
      jpeg_create_compress(&info_);
      made_ = true;
      jpeg_mem_dest(&info_, &bytes_, &size_);
      info_.image_width = static_cast<JDIMENSION>(pixels.width);
      info_.image_height = static_cast<JDIMENSION>(pixels.height);
      info_.input_components = 3;
      info_.in_color_space = JCS_RGB;
      jpeg_set_defaults(&info_);
      jpeg_set_quality(&info_, quality, TRUE);
      jpeg_start_compress(&info_, TRUE);
      for (int y = 0; y < pixels.height; ++y) {
        auto* row = const_cast<std::uint8_t*>(pixels.at(0, y));  // which it only reads
        jpeg_write_scanlines(&info_, &row, 1);
      }
      jpeg_finish_compress(&info_);
    });
    return {reinterpret_cast<const char*>(bytes_), size_};
  }

 private:
  jpeg_compress_struct info_{};
  Failure failure_{};
  unsigned char* bytes_ = nullptr;
  unsigned long size_ = 0;
  bool made_ = false;
};

}  // namespace

JpegFile read_jpeg(std::string_view bytes, int wanted, int most_side, std::int64_t most_area) {
  if (!bytes.starts_with("\xFF\xD8\xFF"))
    throw std::runtime_error("it does not begin as a JPEG does");
  Reader reader(bytes);
  JpegFile out{reader.width(), reader.height(), reader.orientation(), {}};
  if (out.width > most_side || out.height > most_side ||
      std::int64_t{out.width} * out.height > most_area)
    throw std::runtime_error(
        fmt::format("it has {} × {} pixels, more than {} on a side or {} million in all", out.width,
                    out.height, most_side, most_area / 1'000'000));
  out.pixels = reader.pixels(wanted);
  return out;
}

std::string write_jpeg(const Pixels& pixels) { return Writer().write(pixels); }

}  // namespace trencher::paper
