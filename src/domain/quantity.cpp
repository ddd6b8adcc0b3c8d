#include "domain/quantity.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <cmath>
#include <numeric>
#include <vector>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher {
namespace {

// Exact decimal or fraction: value = numerator / denominator.
struct Ratio {
  std::int64_t numerator = 0, denominator = 1;
};

constexpr std::int64_t most_digits = 9;

// "22", "2.5", "7/8", "1 1/2": digits and one point, or a fraction with a whole number before it.
std::optional<Ratio> ratio_from(std::string_view text) {
  const bool negative = text.starts_with('-');
  if (negative) text.remove_prefix(1);
  const auto whole = [](std::string_view part) -> std::optional<std::int64_t> {
    if (part.empty() || part.size() > std::size_t{most_digits}) return {};
    std::int64_t value = 0;
    const auto [end, error] = std::from_chars(part.data(), part.data() + part.size(), value);
    if (error != std::errc() || end != part.data() + part.size() || part.front() == '-') return {};
    return value;
  };
  Ratio out;
  if (const auto slash = text.find('/'); slash != std::string_view::npos) {
    const auto blank = text.find(' ');
    std::int64_t units = 0;
    if (blank != std::string_view::npos && blank < slash) {
      const auto value = whole(text.substr(0, blank));
      if (!value) return {};
      units = *value;
    }
    const std::size_t first = blank < slash ? blank + 1 : 0;
    const auto top = whole(text.substr(first, slash - first)),
               bottom = whole(text.substr(slash + 1));
    if (!top || !bottom || *bottom == 0 || *bottom > 1000 || units > 1'000'000) return {};
    out = {units * *bottom + *top, *bottom};
  } else {
    const auto point = text.find('.');
    const auto units = whole(text.substr(0, point));
    if (!units) return {};
    out = {*units, 1};
    if (point != std::string_view::npos) {
      const std::string_view digits = text.substr(point + 1);
      const auto part = whole(digits);
      if (!part || digits.size() > 6) return {};
      for (std::size_t i = 0; i < digits.size(); ++i) out.denominator *= 10;
      out.numerator = *units * out.denominator + *part;
    }
  }
  if (negative) out.numerator = -out.numerator;
  return out;
}

struct Unit {
  std::string_view name;
  std::int64_t top, bottom;  // one of it is top/bottom of the stored unit
};

// Exact definitions: the inch is 25.4 mm, the pound 453.59237 g, the US gallon 231 cubic inches.
constexpr std::array length_units{Unit{"mm", 1000, 1},   Unit{"cm", 10000, 1},
                                  Unit{"m", 1000000, 1}, Unit{"in", 25400, 1},
                                  Unit{"\"", 25400, 1},  Unit{"ft", 304800, 1}};
constexpr std::array volume_units{Unit{"ml", 1000, 1},
                                  Unit{"cl", 10000, 1},
                                  Unit{"l", 1000000, 1},
                                  Unit{"floz", 473176473, 16000},
                                  Unit{"fl oz", 473176473, 16000},
                                  Unit{"pt", 473176473, 1000},
                                  Unit{"qt", 946352946, 1000},
                                  Unit{"gal", 3785411784, 1000}};
constexpr std::array mass_units{Unit{"g", 1000, 1}, Unit{"kg", 1000000, 1},
                                Unit{"oz", 45359237, 1600}, Unit{"lb", 45359237, 100}};

std::pair<std::string_view, std::string_view> number_and_unit(std::string_view text) {
  auto end = text.find_first_not_of("-0123456789./ ");
  if (end == std::string_view::npos) end = text.size();
  std::string_view number = text.substr(0, end), unit = text.substr(end);
  while (number.ends_with(' ')) number.remove_suffix(1);
  return {number, unit};
}

std::int64_t scaled(const Ratio& ratio, const Unit& unit) {
  const long double exact = static_cast<long double>(ratio.numerator) * unit.top /
                            (static_cast<long double>(ratio.denominator) * unit.bottom);
  return static_cast<std::int64_t>(std::llround(exact));
}

template <std::size_t N>
std::optional<std::int64_t> in_units(std::string_view text, const std::array<Unit, N>& units) {
  const auto [number, name] = number_and_unit(text);
  const auto ratio = ratio_from(number);
  if (!ratio) return {};
  for (const Unit& unit : units)
    if (unit.name == name) return scaled(*ratio, unit);
  return {};
}

Error refuse(std::string_view what, std::string_view text, std::string_view rule) {
  return Error::request(fmt::format("{} '{}' {}.", what, text, rule));
}

std::string trimmed_decimal(double value, int digits) {
  std::string out = fmt::format("{:.{}f}", value, digits);
  if (out.find('.') != std::string::npos) {
    out.erase(out.find_last_not_of('0') + 1);
    if (out.back() == '.') out.pop_back();
  }
  return out == "-0" ? "0" : out;
}

Percent percent_from(std::string_view text, std::string_view what, std::int64_t most) {
  std::string_view number = text;
  if (number.ends_with('%')) number.remove_suffix(1);
  while (number.ends_with(' ')) number.remove_suffix(1);
  const auto ratio = ratio_from(number);
  const std::string rule =
      fmt::format("is no percentage from 0 to {}; write it as 55 or 55%", most);
  if (!ratio || number.find('/') != std::string_view::npos) throw refuse(what, text, rule);
  const std::int64_t permille = scaled(*ratio, {"%", 10, 1});
  if (permille < 0 || permille > most * 10) throw refuse(what, text, rule);
  return {permille};
}

// Sixteenths of an inch, as a rule is marked.
std::string inches(Length value) {
  const std::int64_t sixteenths = (value.um * 16 + 12700) / 25400;
  const std::int64_t whole = sixteenths / 16, rest = sixteenths % 16;
  if (rest == 0) return fmt::format("{}", whole);
  const std::int64_t shared = std::gcd(rest, std::int64_t{16});
  const std::string part = fmt::format("{}/{}", rest / shared, 16 / shared);
  return whole ? fmt::format("{} {}", whole, part) : part;
}

}  // namespace

Celsius parse_temperature(std::string_view text, std::string_view what) {
  auto [number, unit] = number_and_unit(text);
  if (unit.starts_with("°")) unit.remove_prefix(std::string_view("°").size());
  const auto ratio = ratio_from(number);
  const bool celsius = unit == "C" || unit == "c", fahrenheit = unit == "F" || unit == "f";
  if (!ratio || number.find('/') != std::string_view::npos || (!celsius && !fahrenheit))
    throw refuse(what, text, "is no temperature; write it with its unit, as 20C or 68F");
  const double value =
      static_cast<double>(ratio->numerator) / static_cast<double>(ratio->denominator);
  const Celsius out{std::llround(celsius ? value * 1000 : (value - 32) * 5000 / 9)};
  if (out.milli < -40'000 || out.milli > 100'000)
    throw refuse(what, text, "is outside -40C to 100C (-40F to 212F), where no shop is");
  return out;
}

Percent parse_humidity(std::string_view text, std::string_view what) {
  return percent_from(text, what, 100);
}

Percent parse_moisture(std::string_view text, std::string_view what) {
  return percent_from(text, what, 200);
}

Length parse_length(std::string_view text, std::string_view what) {
  const auto um = in_units(text, length_units);
  if (!um) throw refuse(what, text, "is no length; write it with its unit, as 22mm or 7/8in");
  if (*um <= 0 || *um > 10'000'000) throw refuse(what, text, "is outside 0 to 10 m");
  return {*um};
}

Size parse_size(std::string_view text, std::string_view what) {
  const auto rule = "is no size; write length x width x thickness, as 400x250x22mm or 16x10x7/8in";
  std::string plain(text);
  for (std::size_t at = 0; (at = plain.find("×", at)) != std::string::npos;)
    plain.replace(at, std::string_view("×").size(), "x");
  std::vector<std::string> parts = split(plain, 'x');
  if (parts.size() != 3) throw refuse(what, text, rule);
  // A unit at the end holds for all three.
  const std::string unit(number_and_unit(parts[2]).second);
  for (std::string& part : parts)
    if (number_and_unit(part).second.empty()) part += unit;
  std::array<Length, 3> sides;
  for (std::size_t i = 0; i < 3; ++i) {
    if (!in_units(parts[i], length_units)) throw refuse(what, text, rule);
    sides[i] = parse_length(parts[i], what);
  }
  return {sides[0], sides[1], sides[2]};
}

Amount parse_amount(std::string_view text, std::string_view what) {
  std::optional<Amount> out;
  if (const auto volume = in_units(text, volume_units))
    out = Amount{Amount::Measure::volume, *volume};
  else if (const auto mass = in_units(text, mass_units))
    out = Amount{Amount::Measure::mass, *mass};
  if (!out)
    throw refuse(what, text,
                 "is no amount; write it with its unit, as 500ml, 1l, 8floz, 1qt, 100g");
  if (out->value <= 0 || out->value > 1'000'000'000)
    throw refuse(what, text, "is outside 0 to 1000 l (or 1000 kg)");
  return *out;
}

Coverage parse_coverage(std::string_view text, std::string_view what) {
  constexpr std::array units{Unit{"m2/l", 10000, 1}, Unit{"m²/l", 10000, 1},
                             Unit{"ft2/gal", 929030400000, 3785411784},
                             Unit{"ft²/gal", 929030400000, 3785411784}};
  const auto value = in_units(text, units);
  if (!value) throw refuse(what, text, "is no coverage; write it as 12m2/l or 500ft2/gal");
  if (*value < 1000 || *value > 10'000'000) throw refuse(what, text, "is outside 0.1 to 1000 m2/l");
  return {*value};
}

std::int64_t parse_count(std::string_view text, std::string_view what, std::int64_t least,
                         std::int64_t most) {
  const auto ratio = ratio_from(text);
  if (!ratio || text.find_first_not_of("0123456789") != std::string_view::npos ||
      ratio->numerator < least || ratio->numerator > most)
    throw refuse(what, text, fmt::format("is no whole number from {} to {}", least, most));
  return ratio->numerator;
}

std::string show(Celsius value, Units units) {
  if (units == Units::us) return trimmed_decimal(value.degrees() * 9 / 5 + 32, 0) + " °F";
  return trimmed_decimal(value.degrees(), 1) + " °C";
}

std::string show(Percent value) { return trimmed_decimal(value.value(), 1) + " %"; }

std::string show(Length value, Units units) {
  if (units == Units::us) return inches(value) + " in";
  return trimmed_decimal(static_cast<double>(value.um) / 1000, 1) + " mm";
}

std::string show(const Size& size, Units units) {
  if (size == Size{}) return "";
  const auto side = [&](Length value) {
    if (units == Units::us) return inches(value);
    return trimmed_decimal(static_cast<double>(value.um) / 1000, 1);
  };
  return fmt::format("{} × {} × {} {}", side(size.length), side(size.width), side(size.thickness),
                     units == Units::us ? "in" : "mm");
}

std::string show(const Amount& amount, Units units) {
  const double value = static_cast<double>(amount.value);
  if (amount.measure == Amount::Measure::volume) {
    if (units == Units::us) return trimmed_decimal(value / 29573.5295625, 1) + " fl oz";
    return std::abs(amount.value) >= 1'000'000 ? trimmed_decimal(value / 1e6, 2) + " l"
                                               : trimmed_decimal(value / 1000, 0) + " ml";
  }
  if (units == Units::us) return trimmed_decimal(value / 28349.523125, 1) + " oz";
  return std::abs(amount.value) >= 1'000'000 ? trimmed_decimal(value / 1e6, 2) + " kg"
                                             : trimmed_decimal(value / 1000, 0) + " g";
}

std::string show(Coverage value, Units units) {
  const double m2 = static_cast<double>(value.cm2_per_l) / 10000;
  if (units == Units::us) return fmt::format("{:.0f} ft²/gal", m2 * 10.7639104 * 3.785411784);
  return trimmed_decimal(m2, 1) + " m²/l";
}

std::int64_t surface_cm2(const Size& s) {
  const std::int64_t um2 =
      2 * (s.length.um * s.width.um + s.length.um * s.thickness.um + s.width.um * s.thickness.um);
  return (um2 + 99'999'999) / 100'000'000;
}

}  // namespace trencher
