// Sheets of paper and cards, in millimetres.
#pragma once

#include <span>
#include <string_view>

namespace trencher::paper {

struct Size {
  double width;   // mm
  double height;  // mm
  bool operator==(const Size&) const = default;
};

inline constexpr Size a4{210, 297};                   // ISO 216
inline constexpr Size letter{215.9, 279.4};           // ANSI Y14.1 size A, 8 1/2 by 11 in
inline constexpr Size tag{60, 90};                    // to hang on a board: ours
inline constexpr Size a7{74, 105};                    // ISO 216
inline constexpr Size a6{105, 148};                   // ISO 216
inline constexpr Size postcard{101.6, 152.4};         // 4 by 6 in
inline constexpr Size quarter_letter{107.95, 139.7};  // a letter sheet cut in four
inline constexpr Size a5{148, 210};                   // ISO 216

// "a4" or "letter"; anything else is Error request.
Size sheet_size(std::string_view name);

struct CardSize {
  std::string_view name;
  Size size;
};

// tag, a7, a6, 4x6in, quarter-letter, a5: what does not fit one is printed on the next.
std::span<const CardSize> card_sizes();

// One of those by its name; anything else is Error request.
Size card_size(std::string_view name);
std::string_view card_size_name(Size size);

}  // namespace trencher::paper
