// Sheets of paper and cards, in millimetres.
#pragma once

#include <string_view>

namespace trencher::paper {

struct Size {
  double width;   // mm
  double height;  // mm
};

inline constexpr Size a4{210, 297};                   // ISO 216
inline constexpr Size letter{215.9, 279.4};           // ANSI Y14.1 size A, 8 1/2 by 11 in
inline constexpr Size a6{105, 148};                   // ISO 216
inline constexpr Size a5{148, 210};                   // ISO 216
inline constexpr Size quarter_letter{107.95, 139.7};  // a letter sheet cut in four

// "a4" or "letter"; anything else is Error request.
Size sheet_size(std::string_view name);

// "a6", "a5" or "quarter-letter"; anything else is Error request.
Size card_size(std::string_view name);

}  // namespace trencher::paper
