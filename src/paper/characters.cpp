#include "paper/characters.h"

#include <fmt/format.h>
#include <utf8.h>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::paper {
namespace {

bool is_control(char32_t value) {
  return value < 0x20 || (value >= 0x7F && value < 0xA0) || value == 0x2028 || value == 0x2029;
}

bool is_plain(char32_t c) {
  constexpr char32_t soft_hyphen = 0xAD;
  return (c >= 0x20 && c < 0x7F) || (c >= 0xA0 && c < 0x300 && c != soft_hyphen) ||
         (c >= 0x2010 && c < 0x2028) || (c >= 0x2030 && c < 0x205F);
}

}  // namespace

std::optional<std::u32string> plain_characters(std::string_view text) {
  if (!is_utf8(text)) return {};
  std::u32string out;
  out.reserve(text.size());
  for (auto at = text.begin(); at != text.end();) {
    const char32_t c = utf8::unchecked::next(at);
    if (!is_plain(c)) return {};
    out += c;
  }
  return out;
}

std::string code_point_name(char32_t value) {
  return fmt::format("U+{:04X}", static_cast<unsigned>(value));
}

std::vector<Character> characters(std::string_view text) {
  if (!is_utf8(text)) throw Error::request("Cannot print a text that is not UTF-8.");
  std::vector<Character> out;
  out.reserve(text.size());
  for (auto at = text.begin(); at != text.end();) {
    const auto start = at;
    const char32_t value = utf8::next(at, text.end());
    if (is_control(value))
      throw Error::request(
          fmt::format("Cannot print the text that begins \"{}\": it holds the control "
                      "character {}.",
                      std::string_view(text.begin(), start), code_point_name(value)));
    out.push_back({value, std::string_view(start, at)});
  }
  return out;
}

}  // namespace trencher::paper
