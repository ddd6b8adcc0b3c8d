// Text as it enters the program: checked once, here, so that nothing behind has to.
#pragma once

#include <array>
#include <cstddef>
#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace trencher {

inline constexpr std::size_t longest_text =
    2000;  // bytes; a page of notes, far below what PDF takes
inline constexpr std::size_t longest_name = 300;     // bytes: a name, a supplier's lot, a contact
inline constexpr std::size_t longest_shown = 20000;  // bytes; lists that we join stay below it

// What may stand in the book. Returns `value` without blanks at its ends. Throws Error::request
// that names `what` and quotes the value where it is not UTF-8, holds what shown() would replace,
// shows nothing, or is over `most` bytes.
std::string checked_text(std::string_view value, std::string_view what,
                         std::size_t most = longest_text);

// How text that may come from anywhere is shown, on any way out: U+FFFD stands for each control
// character, direction mark, invisible character, non-character and byte that is no UTF-8, so that
// it neither steers a terminal nor reads otherwise than it is stored. The joiners and variants that
// writing needs stay. What is over `most` bytes is cut, and its length said.
std::string shown(std::string_view text, std::size_t most = longest_shown);
// The beginning of it, for an error's sentence.
std::string brief(std::string_view text);
// A sentence that quotes what somebody typed or a file holds: longer words and the middle of the
// whole give way to "…".
std::string shown_sentence(std::string_view text);
// Whether shown() would replace the character wherever it stands.
bool is_hidden(std::uint32_t character);

bool is_utf8(std::string_view value);
std::u16string to_utf16(std::string_view value);  // REQUIRES: valid UTF-8
std::string lower_ascii(std::string_view value);
std::vector<std::string> split(std::string_view value, char separator);  // parts without end blanks
std::string join(const std::vector<std::string>& parts, std::string_view between);
// "oak, ash and elm"
std::string join_words(const std::vector<std::string>& parts, std::string_view last = "and");
// "3 coats", "1 coat"
std::string count_of(std::int64_t count, std::string_view singular, std::string_view plural = {});

// Columns that `value` takes on a terminal (combining marks 0, wide letters 2).
std::size_t display_width(std::string_view value);
// Lines of at most `width` columns, broken at blanks; a longer word stands alone.
std::vector<std::string> wrap(std::string_view value, std::size_t width);
// The same, but a longer word is broken, never between a letter and its marks.
std::vector<std::string> wrap_hard(std::string_view value, std::size_t width);

// The edits (insert, delete, replace, swap of neighbours) that lead from one to the other.
std::size_t edit_distance(std::string_view a, std::string_view b);
// Those of `known` that are near `wanted`, nearest first, three at most.
std::vector<std::string> near_matches(std::string_view wanted,
                                      const std::vector<std::string>& known);
// " Did you mean 'hard-maple' or 'soft-maple'?", or nothing where none is near.
std::string suggestion(std::string_view wanted, const std::vector<std::string>& known);

// SHA-256 (FIPS 180-4) in lower-case hexadecimal.
using Sha256 = std::array<std::uint8_t, 32>;
Sha256 sha256(std::string_view bytes);
std::string sha256_hex(std::string_view bytes);
std::string to_hex(std::string_view bytes);
// Throws Error::book where it is not hexadecimal.
std::string from_hex(std::string_view hex);
// RFC 4648 base 64 with padding.
std::string to_base64(std::string_view bytes);
std::string from_base64(std::string_view text);  // throws Error::book where it is not base 64

}  // namespace trencher
