#include "domain/text.h"

#include <fmt/format.h>
#include <nettle/base16.h>
#include <nettle/base64.h>
#include <nettle/sha2.h>
#include <utf8.h>

#include <algorithm>
#include <array>
#include <cstdint>
#include <cstring>
#include <numeric>

#include "domain/error.h"
#include "domain/hidden.h"

namespace trencher {
namespace {

std::string_view trimmed(std::string_view value) {
  const auto first = value.find_first_not_of(' ');
  if (first == std::string_view::npos) return {};
  return value.substr(first, value.find_last_not_of(' ') - first + 1);
}

std::uint8_t* bytes_of(std::string& s) { return reinterpret_cast<std::uint8_t*>(s.data()); }
const std::uint8_t* bytes_of(std::string_view s) {
  return reinterpret_cast<const std::uint8_t*>(s.data());
}

// Combining marks take no column; East Asian wide letters and pictures take two (Unicode UAX 11,
// by ranges: the C library's answer depends on the user's locale).
std::size_t columns_of(std::uint32_t c) {
  if ((c >= 0x300 && c <= 0x36F) || (c >= 0x1AB0 && c <= 0x1AFF) || (c >= 0x20D0 && c <= 0x20FF) ||
      (c >= 0xFE00 && c <= 0xFE0F) || (c >= 0x200B && c <= 0x200D))
    return 0;
  if ((c >= 0x1100 && c <= 0x115F) || (c >= 0x2E80 && c <= 0xA4CF) ||
      (c >= 0xAC00 && c <= 0xD7A3) || (c >= 0xF900 && c <= 0xFAFF) ||
      (c >= 0xFE30 && c <= 0xFE6F) || (c >= 0xFF00 && c <= 0xFF60) ||
      (c >= 0xFFE0 && c <= 0xFFE6) || (c >= 0x1F300 && c <= 0x1FAFF) ||
      (c >= 0x20000 && c <= 0x3FFFD))
    return 2;
  return 1;
}

// The two digits of each byte.
constexpr std::array<char, 512> hex_of_bytes = [] {
  constexpr std::string_view digits = "0123456789abcdef";
  std::array<char, 512> out{};
  for (std::size_t i = 0; i < out.size(); ++i) out[i] = digits[i % 2 ? i / 2 % 16 : i / 2 / 16];
  return out;
}();

}  // namespace

bool is_utf8(std::string_view value) {
  // Nearly all is ASCII: eight bytes at once, until one is not.
  std::uint64_t eight = 0;
  while (value.size() >= sizeof eight) {
    std::memcpy(&eight, value.data(), sizeof eight);
    if (eight & 0x8080808080808080) break;
    value.remove_prefix(sizeof eight);
  }
  return utf8::is_valid(value.begin(), value.end());
}

std::string checked_text(std::string_view value, std::string_view what, std::size_t most) {
  if (value.size() > most)
    throw Error::request(fmt::format("{} is {} bytes long and begins '{}'; at most {} fit.", what,
                                     value.size(), brief(value), most));
  if (!is_utf8(value))
    throw Error::request(fmt::format("{} is not valid UTF-8 text: '{}'.", what, brief(value)));
  if (const auto found = first_hidden(value))
    throw Error::request(
        fmt::format("{} holds the {} U+{:04X} in '{}'; plain text on one line is needed.", what,
                    kind_of_hidden(*found), *found, brief(value)));
  if (shows_nothing(value))
    throw Error::request(fmt::format("{} is empty; it must say something.", what));
  return std::string(trimmed(value));
}

std::u16string to_utf16(std::string_view value) {
  std::u16string out;
  utf8::utf8to16(value.begin(), value.end(), std::back_inserter(out));
  return out;
}

std::string lower_ascii(std::string_view value) {
  std::string out(value);
  for (char& c : out)
    if (c >= 'A' && c <= 'Z') c = static_cast<char>(c - 'A' + 'a');
  return out;
}

std::vector<std::string> split(std::string_view value, char separator) {
  std::vector<std::string> out;
  while (true) {
    const auto end = value.find(separator);
    out.emplace_back(trimmed(value.substr(0, end)));
    if (end == std::string_view::npos) return out;
    value.remove_prefix(end + 1);
  }
}

std::string join(const std::vector<std::string>& parts, std::string_view between) {
  return fmt::format("{}", fmt::join(parts, between));
}

std::string join_words(const std::vector<std::string>& parts, std::string_view last) {
  if (parts.size() < 2) return join(parts, "");
  return fmt::format("{} {} {}", fmt::join(parts.begin(), parts.end() - 1, ", "), last,
                     parts.back());
}

std::string count_of(std::int64_t count, std::string_view singular, std::string_view plural) {
  if (count == 1) return fmt::format("1 {}", singular);
  return plural.empty() ? fmt::format("{} {}s", count, singular)
                        : fmt::format("{} {}", count, plural);
}

std::size_t display_width(std::string_view value) {
  std::size_t width = 0;
  for (auto at = value.begin(); at != value.end();) {
    if (*at >= ' ' && *at <= '~') {
      ++width;
      ++at;
    } else {
      width += columns_of(utf8::next(at, value.end()));
    }
  }
  return width;
}

std::vector<std::string> wrap(std::string_view value, std::size_t width) {
  std::vector<std::string> lines;
  std::string line;
  std::size_t used = 0;  // columns of it
  for (std::size_t at = value.find_first_not_of(' '); at < value.size();
       at = value.find_first_not_of(' ', at)) {
    const std::string_view word = value.substr(at, value.find(' ', at) - at);
    at += word.size();
    const std::size_t columns = display_width(word);
    if (!line.empty() && used + 1 + columns > width) {
      lines.push_back(std::move(line));
      line.clear();
      used = 0;
    }
    if (!line.empty()) line += ' ';
    used += columns + (line.empty() ? 0 : 1);
    line += word;
  }
  if (!line.empty() || lines.empty()) lines.push_back(line);
  return lines;
}

std::vector<std::string> wrap_hard(std::string_view value, std::size_t width) {
  std::vector<std::string> out;
  for (const std::string& line : wrap(value, width)) {
    std::string part;
    std::size_t used = 0;
    for (auto at = line.begin(); at != line.end();) {
      const auto begin = at;
      const std::size_t columns = columns_of(utf8::next(at, line.end()));
      if (columns > 0 && used > 0 && used + columns > width) {
        out.push_back(std::move(part));
        part.clear();
        used = 0;
      }
      part.append(begin, at);
      used += columns;
    }
    out.push_back(std::move(part));
  }
  return out;
}

std::size_t edit_distance(std::string_view a, std::string_view b) {
  // Optimal string alignment: three rows suffice, as a swap looks two back.
  std::vector<std::size_t> two(b.size() + 1), one(b.size() + 1), row(b.size() + 1);
  std::iota(one.begin(), one.end(), std::size_t{0});
  for (std::size_t i = 1; i <= a.size(); ++i) {
    row[0] = i;
    for (std::size_t j = 1; j <= b.size(); ++j) {
      const std::size_t replace = one[j - 1] + (a[i - 1] == b[j - 1] ? 0 : 1);
      row[j] = std::min({replace, one[j] + 1, row[j - 1] + 1});
      if (i > 1 && j > 1 && a[i - 1] == b[j - 2] && a[i - 2] == b[j - 1])
        row[j] = std::min(row[j], two[j - 2] + 1);
    }
    std::swap(two, one);
    std::swap(one, row);
  }
  return one[b.size()];
}

std::vector<std::string> near_matches(std::string_view wanted,
                                      const std::vector<std::string>& known) {
  const std::string want = lower_ascii(wanted.substr(0, 100));
  std::vector<std::pair<std::size_t, std::string>> near;
  for (const std::string& candidate : known) {
    const std::string have = lower_ascii(candidate);
    std::size_t distance = edit_distance(want, have);
    bool near_word = false;
    const bool part = want.size() >= 3 && have.find(want) != std::string::npos;
    if (part) distance = std::min<std::size_t>(distance, 2);
    // "nuts" is near "tree-nut" by its last word.
    if (want.size() >= 3)
      for (const std::string& word : split(have, '-'))
        if (const std::size_t to_word = edit_distance(want, word); word != have) {
          distance = std::min(distance, to_word + 1);
          near_word = near_word || to_word <= want.size() / 4;
        }
    if (part || near_word || distance <= std::max<std::size_t>(1, want.size() / 3))
      near.emplace_back(distance, candidate);
  }
  std::stable_sort(near.begin(), near.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  std::vector<std::string> out;
  for (const auto& [distance, candidate] : near)
    if (out.size() < 3) out.push_back(candidate);
  return out;
}

std::string suggestion(std::string_view wanted, const std::vector<std::string>& known) {
  std::vector<std::string> near = near_matches(wanted, known);
  if (near.empty()) return {};
  for (std::string& candidate : near) candidate = "'" + candidate + "'";
  return " Did you mean " + join_words(near, "or") + "?";
}

Sha256 sha256(std::string_view bytes) {
  static_assert(std::tuple_size_v<Sha256> == SHA256_DIGEST_SIZE);
  sha256_ctx context;
  sha256_init(&context);
  sha256_update(&context, bytes.size(), bytes_of(bytes));
  Sha256 digest;
  sha256_digest(&context, digest.size(), digest.data());
  return digest;
}

std::string sha256_hex(std::string_view bytes) {
  const Sha256 digest = sha256(bytes);
  std::string out(2 * digest.size(), '\0');
  for (std::size_t i = 0; i < digest.size(); ++i)
    std::copy_n(&hex_of_bytes[std::size_t{2} * digest[i]], 2, &out[2 * i]);
  return out;
}

std::string to_hex(std::string_view bytes) {
  std::string out(BASE16_ENCODE_LENGTH(bytes.size()), '\0');
  base16_encode_update(out.data(), bytes.size(), bytes_of(bytes));
  return out;
}

std::string from_hex(std::string_view hex) {
  base16_decode_ctx context;
  base16_decode_init(&context);
  std::string out(BASE16_DECODE_LENGTH(hex.size()), '\0');
  std::size_t length = out.size();
  const bool read =
      base16_decode_update(&context, &length, bytes_of(out), hex.size(), hex.data()) &&
      base16_decode_final(&context);
  out.resize(length);
  // Compared, since the library passes over blanks and line ends.
  if (!read || to_hex(out) != lower_ascii(hex))
    throw Error::book("The file holds text that is not hexadecimal where it should be.");
  return out;
}

std::string to_base64(std::string_view bytes) {
  std::string out(BASE64_ENCODE_RAW_LENGTH(bytes.size()), '\0');
  base64_encode_raw(out.data(), bytes.size(), bytes_of(bytes));
  return out;
}

std::string from_base64(std::string_view text) {
  base64_decode_ctx context;
  base64_decode_init(&context);
  std::string out(BASE64_DECODE_LENGTH(text.size()), '\0');
  std::size_t length = out.size();
  const bool read =
      base64_decode_update(&context, &length, bytes_of(out), text.size(), text.data()) &&
      base64_decode_final(&context);
  out.resize(length);
  // Compared, since the library passes over blanks and line ends.
  if (!read || to_base64(out) != text)
    throw Error::book("The file holds text that is not base 64 where it should be.");
  return out;
}

}  // namespace trencher
