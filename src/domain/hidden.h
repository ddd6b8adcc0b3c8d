// Characters that do not show what they are: for text.h alone.
#pragma once

#include <cstdint>
#include <optional>
#include <string_view>

namespace trencher {

// The first character that shown() would replace. REQUIRES: valid UTF-8.
std::optional<std::uint32_t> first_hidden(std::string_view value);
// "control character", for an error's sentence.
std::string_view kind_of_hidden(std::uint32_t character);
// Whether there is nothing in it but blanks of any kind. REQUIRES: valid UTF-8.
bool shows_nothing(std::string_view value);

}  // namespace trencher
