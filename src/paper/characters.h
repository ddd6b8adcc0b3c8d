// Strict UTF-8, character by character.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trencher::paper {

struct Character {
  char32_t value;
  std::string_view bytes;  // within the text given
};

// Error request where the text is not valid UTF-8 or holds a control character (a line break is
// one).
std::vector<Character> characters(std::string_view text);

// The text where it holds nothing but Latin letters, figures and signs: what is drawn as it stands
// and hides nothing.
std::optional<std::u32string> plain_characters(std::string_view text);

// "U+00E9".
std::string code_point_name(char32_t value);

}  // namespace trencher::paper
