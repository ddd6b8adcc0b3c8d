// Quantities as scaled whole numbers in SI units, read from text that carries its unit in either
// system. Every parse function throws Error::request naming `what`, the value and the units it
// takes.
#pragma once

#include <compare>
#include <cstdint>
#include <optional>
#include <string>
#include <string_view>

namespace trencher {

enum class Units { metric, us };

struct Celsius {
  std::int64_t milli = 0;  // thousandths of a degree
  double degrees() const { return static_cast<double>(milli) / 1000.0; }
  auto operator<=>(const Celsius&) const = default;
};

struct Percent {
  std::int64_t permille = 0;  // tenths of a per cent: humidity of air, moisture of wood
  double value() const { return static_cast<double>(permille) / 10.0; }
  auto operator<=>(const Percent&) const = default;
};

struct Length {
  std::int64_t um = 0;  // micrometres
  auto operator<=>(const Length&) const = default;
};

struct Size {
  Length length, width, thickness;
  bool operator==(const Size&) const = default;
};

// An amount in a tin, by volume or by mass; the two never mix.
struct Amount {
  enum class Measure { volume, mass };
  Measure measure = Measure::volume;
  std::int64_t value = 0;  // microlitres or milligrams
  bool operator==(const Amount&) const = default;
};

struct Coverage {
  std::int64_t cm2_per_l = 0;  // what a litre covers in one coat; 12 m2/l is 120,000
  auto operator<=>(const Coverage&) const = default;
};

Celsius parse_temperature(std::string_view text,
                          std::string_view what);  // 68F, 20C, 18.5 C; -40 to 100 C
Percent parse_humidity(std::string_view text, std::string_view what);  // 55, 55%, 47.5%; 0 to 100
Percent parse_moisture(std::string_view text,
                       std::string_view what);                      // wood, dry basis; 0 to 200 %
Length parse_length(std::string_view text, std::string_view what);  // 22mm, 2.2cm, 7/8in, 1 1/2in
Size parse_size(std::string_view text, std::string_view what);      // 400x250x22mm, 16x10x7/8in
Amount parse_amount(std::string_view text,
                    std::string_view what);  // 500ml, 1l, 8floz, 1qt, 100g, 4oz
Coverage parse_coverage(std::string_view text, std::string_view what);  // 12m2/l, 500ft2/gal
// A whole number between the limits, digits only.
std::int64_t parse_count(std::string_view text, std::string_view what, std::int64_t least,
                         std::int64_t most);

std::string show(Celsius value, Units units);        // 18.5 °C, 65 °F
std::string show(Percent value);                     // 55 %
std::string show(Length value, Units units);         // 22 mm, 7/8 in
std::string show(const Size& value, Units units);    // 400 × 250 × 22 mm; empty for a lost one
std::string show(const Amount& value, Units units);  // 250 ml, 8 fl oz
std::string show(Coverage value, Units units);       // 12 m²/l, 489 ft²/gal

// Face, back and edges of one board, in cm2: 2(LW + LT + WT). Exact geometry, rounded up.
std::int64_t surface_cm2(const Size& size);

}  // namespace trencher
