#pragma once

#include <cstdint>
#include <string_view>
#include <variant>

namespace trencher::book {

// What one column of a row holds; none: NULL. A text lasts as long as what it was taken from.
using Value = std::variant<std::monostate, std::int64_t, std::string_view>;

}  // namespace trencher::book
