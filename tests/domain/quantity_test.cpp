// The exact definitions are those of NIST SP 811 (2008) appendix B: inch 25.4 mm, pound 453.59237
// g, US gallon 231 cubic inches, degree Fahrenheit 5/9 of a kelvin from 32.
#include "domain/quantity.h"

#include <catch2/catch.hpp>
#include <cmath>

#include "refusal.h"

using namespace trencher;

namespace {

std::int64_t milli(std::string_view text) { return parse_temperature(text, "T").milli; }
std::int64_t um(std::string_view text) { return parse_length(text, "L").um; }
std::int64_t ul(std::string_view text) {
  const Amount amount = parse_amount(text, "A");
  REQUIRE(amount.measure == Amount::Measure::volume);
  return amount.value;
}
std::int64_t mg(std::string_view text) {
  const Amount amount = parse_amount(text, "A");
  REQUIRE(amount.measure == Amount::Measure::mass);
  return amount.value;
}
std::int64_t coverage(std::string_view text) { return parse_coverage(text, "C").cm2_per_l; }

std::string sides(std::string_view text) {
  const Size size = parse_size(text, "Size");
  return std::to_string(size.length.um) + " " + std::to_string(size.width.um) + " " +
         std::to_string(size.thickness.um);
}

constexpr double cubic_inch_ul = 25.4 * 25.4 * 25.4;

}  // namespace

TEST_CASE("quantity: temperatures are read in both systems") {
  CHECK(milli("20C") == 20000);
  CHECK(milli("20 c") == 20000);
  CHECK(milli("18.5 C") == 18500);
  CHECK(milli("18.5°C") == 18500);
  CHECK(milli("68F") == 20000);
  CHECK(milli("68 °F") == 20000);
  CHECK(milli("32f") == 0);
  CHECK(milli("70F") == 21111);  // 21.1111...
  CHECK(milli("0F") == -17778);  // -17.7777...
  CHECK(milli("-5C") == -5000);
  CHECK(milli("0.0004C") == 0);
  CHECK(milli("0.0006C") == 1);
}

TEST_CASE("quantity: temperatures outside any shop are refused and the limits are not") {
  CHECK(milli("-40C") == -40000);
  CHECK(milli("-40F") == -40000);
  CHECK(milli("100C") == 100000);
  CHECK(milli("212F") == 100000);
  for (const std::string text : {"-40.001C", "100.001C", "-40.1F", "212.1F"})
    CHECK(refusal([&] { milli(text); }) ==
          "request: T '" + text + "' is outside -40C to 100C (-40F to 212F), where no shop is.");
}

TEST_CASE("quantity: what is no temperature is refused") {
  for (const std::string text :
       {"", "20", "C", "20K", "20CC", "1/2C", "--5C", "2 0C", ".5C", "5.C", "1e1C", "0x10C",
        "20,5C", "+20C", "nanC", " 20C", "1234567890C", "1.1234567C", "5-C"})
    CHECK(refusal([&] { milli(text); }) ==
          "request: T '" + text + "' is no temperature; write it with its unit, as 20C or 68F.");
}

TEST_CASE("quantity: humidity and moisture are percentages with their own limits") {
  CHECK(parse_humidity("55", "H").permille == 550);
  CHECK(parse_humidity("55%", "H").permille == 550);
  CHECK(parse_humidity("47.5 %", "H").permille == 475);
  CHECK(parse_humidity("0", "H").permille == 0);
  CHECK(parse_humidity("100%", "H").permille == 1000);
  CHECK(parse_moisture("8.5%", "M").permille == 85);
  CHECK(parse_moisture("200", "M").permille == 2000);
  for (const std::string text : {"", "%", "101", "100.1%", "-1", "1/2", "55%%", "55C", "half"})
    CHECK(refusal([&] { parse_humidity(text, "H"); }) ==
          "request: H '" + text + "' is no percentage from 0 to 100; write it as 55 or 55%.");
  CHECK(refusal([] { parse_moisture("201", "M"); }) ==
        "request: M '201' is no percentage from 0 to 200; write it as 55 or 55%.");
}

TEST_CASE("quantity: lengths are read in every unit with fractions") {
  CHECK(um("22mm") == 22000);
  CHECK(um("2.2cm") == 22000);
  CHECK(um("0.022m") == 22000);
  CHECK(um("1in") == 25400);
  CHECK(um("1\"") == 25400);
  CHECK(um("1ft") == 12 * 25400);
  CHECK(um("7/8in") == 22225);
  CHECK(um("1 1/2in") == 38100);
  CHECK(um("1 1/2 in") == 38100);
  CHECK(um("0.001mm") == 1);
  CHECK(um("10m") == 10'000'000);
  for (const std::string text : {"0mm", "-1mm", "10001mm", "0/8in", "0.0001mm"})
    CHECK(refusal([&] { um(text); }) == "request: L '" + text + "' is outside 0 to 10 m.");
  for (const std::string text : {"", "22", "mm", "22 km", "1/0in", "1/1001in", "1/2/3in", "/8in",
                                 "7/in", "1 2in", "1  1/2in", "22MM", "1000001 1/2in"})
    CHECK(refusal([&] { um(text); }) ==
          "request: L '" + text + "' is no length; write it with its unit, as 22mm or 7/8in.");
}

TEST_CASE("quantity: a size takes one unit for all sides or one each") {
  CHECK(sides("400x250x22mm") == "400000 250000 22000");
  CHECK(sides("400 x 250 x 22 mm") == "400000 250000 22000");
  CHECK(sides("40cmx25cmx22mm") == "400000 250000 22000");
  CHECK(sides("16x10x7/8in") == "406400 254000 22225");
  CHECK(sides("1 1/2x1x1in") == "38100 25400 25400");
  const std::string rule =
      "' is no size; write length x width x thickness, as 400x250x22mm or 16x10x7/8in.";
  for (const std::string text :
       {"", "400x250", "400x250x22", "400x250x22x1mm", "axbxcmm", "400mmx250x22"})
    CHECK(refusal([&] { sides(text); }) == "request: Size '" + text + rule);
  CHECK(refusal([] { sides("400x250x0mm"); }) == "request: Size '0mm' is outside 0 to 10 m.");
}

TEST_CASE("quantity: amounts follow from the exact definitions") {
  CHECK(ul("500ml") == 500'000);
  CHECK(ul("1l") == 1'000'000);
  CHECK(ul("2.5cl") == 25'000);
  CHECK(ul("1gal") == std::llround(231 * cubic_inch_ul));
  CHECK(ul("1qt") == std::llround(231 * cubic_inch_ul / 4));
  CHECK(ul("1pt") == std::llround(231 * cubic_inch_ul / 8));
  CHECK(ul("8floz") == std::llround(231 * cubic_inch_ul / 16));
  CHECK(ul("1 1/2 qt") == std::llround(231 * cubic_inch_ul * 3 / 8));
  CHECK(mg("100g") == 100'000);
  CHECK(mg("1kg") == 1'000'000);
  CHECK(mg("1lb") == std::llround(453592.37));
  CHECK(mg("4oz") == std::llround(453592.37 / 4));
  CHECK(ul("1000l") == 1'000'000'000);
}

TEST_CASE("quantity: amounts without a unit or beyond a workshop are refused") {
  for (const std::string text : {"0ml", "-1g", "1000.001l", "1001kg"})
    CHECK(refusal([&] { parse_amount(text, "A"); }) ==
          "request: A '" + text + "' is outside 0 to 1000 l (or 1000 kg).");
  for (const std::string text : {"", "500", "ml", "500 cups", "1L", "fl oz"})
    CHECK(refusal([&] { parse_amount(text, "A"); }) ==
          "request: A '" + text +
              "' is no amount; write it with its unit, as 500ml, 1l, 8floz, 1qt, 100g.");
}

TEST_CASE("quantity: coverage is read in both systems") {
  CHECK(coverage("12m2/l") == 120'000);
  CHECK(coverage("12 m²/l") == 120'000);
  // A square foot is 929.0304 cm2.
  CHECK(coverage("500ft2/gal") == std::llround(500 * 929.0304 / (231 * cubic_inch_ul / 1e6)));
  CHECK(coverage("0.1m2/l") == 1000);
  CHECK(coverage("1000m2/l") == 10'000'000);
  for (const std::string text : {"0.0999m2/l", "1000.1m2/l", "0m2/l"})
    CHECK(refusal([&] { coverage(text); }) ==
          "request: C '" + text + "' is outside 0.1 to 1000 m2/l.");
  CHECK(refusal([] { coverage("12"); }) ==
        "request: C '12' is no coverage; write it as 12m2/l or 500ft2/gal.");
}

TEST_CASE("quantity: a count is digits within its limits") {
  CHECK(parse_count("1", "Pieces", 1, 999) == 1);
  CHECK(parse_count("999", "Pieces", 1, 999) == 999);
  CHECK(parse_count("010", "Pieces", 1, 999) == 10);  // not octal
  for (const std::string text :
       {"", "0", "1000", "-1", "+1", "1.0", "1/1", " 1", "0x1", "1e2", "99999999999999999999"})
    CHECK(refusal([&] { parse_count(text, "Pieces", 1, 999); }) ==
          "request: Pieces '" + text + "' is no whole number from 1 to 999.");
}

TEST_CASE("quantity: temperatures and percentages are shown") {
  CHECK(show(Celsius{18500}, Units::metric) == "18.5 °C");
  CHECK(show(Celsius{20000}, Units::metric) == "20 °C");
  CHECK(show(Celsius{-40}, Units::metric) == "0 °C");  // never -0
  CHECK(show(Celsius{20000}, Units::us) == "68 °F");
  CHECK(show(Celsius{18500}, Units::us) == "65 °F");  // 65.3
  CHECK(show(Celsius{-18000}, Units::us) == "0 °F");  // -0.4, never -0
  CHECK(show(Percent{550}) == "55 %");
  CHECK(show(Percent{475}) == "47.5 %");
  CHECK(Celsius{18500}.degrees() == 18.5);
  CHECK(Percent{475}.value() == 47.5);
}

TEST_CASE("quantity: lengths are shown in millimetres or in sixteenths of an inch") {
  CHECK(show(Length{22000}, Units::metric) == "22 mm");
  CHECK(show(Length{22225}, Units::metric) == "22.2 mm");
  CHECK(show(Length{22225}, Units::us) == "7/8 in");
  CHECK(show(Length{22000}, Units::us) == "7/8 in");  // 13.86 sixteenths
  CHECK(show(Length{38100}, Units::us) == "1 1/2 in");
  CHECK(show(Length{25400}, Units::us) == "1 in");
  CHECK(show(Length{1588}, Units::us) == "1/16 in");
  CHECK(show(parse_size("400x250x22mm", "Size"), Units::metric) == "400 × 250 × 22 mm");
  CHECK(show(parse_size("16x10x7/8in", "Size"), Units::us) == "16 × 10 × 7/8 in");
  CHECK(show(Size{}, Units::metric).empty());  // of a batch whose entry is lost
}

TEST_CASE("quantity: amounts and coverage are shown in the workshop's units") {
  using Measure = Amount::Measure;
  CHECK(show(Amount{Measure::volume, 250'000}, Units::metric) == "250 ml");
  CHECK(show(Amount{Measure::volume, 999'000}, Units::metric) == "999 ml");
  CHECK(show(Amount{Measure::volume, 1'000'000}, Units::metric) == "1 l");
  CHECK(show(Amount{Measure::volume, 1'250'000}, Units::metric) == "1.25 l");
  CHECK(show(Amount{Measure::mass, 100'000}, Units::metric) == "100 g");
  CHECK(show(Amount{Measure::mass, 1'500'000}, Units::metric) == "1.5 kg");
  CHECK(show(parse_amount("8floz", "A"), Units::us) == "8 fl oz");
  // What is shown can be typed.
  CHECK(ul("8 fl oz") == ul("8floz"));
  CHECK(sides("400 × 250 × 22 mm") == sides("400x250x22mm"));
  CHECK(coverage("489 ft²/gal") == coverage("489ft2/gal"));
  CHECK(show(parse_amount("4.5oz", "A"), Units::us) == "4.5 oz");
  CHECK(show(Coverage{120'000}, Units::metric) == "12 m²/l");
  // 12 m2 is 129.1669 ft2 and a litre 0.2641720 US gal.
  CHECK(show(Coverage{120'000}, Units::us) == "489 ft²/gal");
}

TEST_CASE("quantity: what is shown can be typed again") {
  for (const std::string text : {"18.5 °C", "-5 °C"})
    CHECK(show(parse_temperature(text, "T"), Units::metric) == text);
  for (const std::string text : {"7/8 in", "1 1/2 in", "15/16 in"})
    CHECK(show(parse_length(text, "L"), Units::us) == text);
  CHECK(show(parse_coverage("12 m²/l", "C"), Units::metric) == "12 m²/l");
}

TEST_CASE("quantity: the surface of a board is its six faces rounded up") {
  // 2 (40 x 25 + 40 x 2.2 + 25 x 2.2) = 2286 cm2
  CHECK(surface_cm2(parse_size("400x250x22mm", "Size")) == 2286);
  CHECK(surface_cm2(parse_size("10x10x10mm", "Size")) == 6);
  CHECK(surface_cm2(parse_size("10x10x10.1mm", "Size")) == 7);  // 6.04
  CHECK(surface_cm2(parse_size("10x10x10m", "Size")) == 6'000'000);
}
