#include "paper/operators.h"

#include <algorithm>
#include <array>
#include <charconv>
#include <cmath>
#include <utility>

namespace trencher::paper {
namespace {

constexpr double farthest = 32767;  // what PDF readers must be able to reach
// Decimals. With fewer of a length a dot at an edge may fall the other way.
constexpr int of_a_length = 5;
constexpr int of_a_scale = 6;  // which is multiplied by lengths
constexpr std::array<std::int64_t, 7> powers = {1, 10, 100, 1000, 10'000, 100'000, 1'000'000};

// Sets what is kept, and whether that is something new.
template <typename Kept, typename Value>
bool changes(Kept& kept, const Value& value) {
  if (kept == value) return false;
  kept = value;
  return true;
}

}  // namespace

// As short as it can be written: "12", "-0.5", and a blank behind it.
void Operators::number(double value) { number(value, of_a_length); }

void Operators::number(double value, int decimals) {
  const std::int64_t unit = powers[static_cast<std::size_t>(decimals)];
  std::int64_t left =
      std::llround(std::clamp(value, -farthest, farthest) * static_cast<double>(unit));
  if (left < 0) bytes_ += '-';
  left = std::abs(left);
  std::array<char, 24> digits;
  const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), left / unit).ptr;
  bytes_.append(digits.data(), end);
  if (std::int64_t part = left % unit; part > 0) {
    std::array<char, powers.size()> fraction{'.'};
    for (int place = decimals; place > 0; --place, part /= 10)
      fraction[static_cast<std::size_t>(place)] = static_cast<char>('0' + part % 10);
    auto size = static_cast<std::size_t>(decimals) + 1;
    while (fraction[size - 1] == '0') --size;
    bytes_.append(fraction.data(), size);
  }
  bytes_ += ' ';
}

void Operators::word(std::string_view name) {
  bytes_ += name;
  bytes_ += '\n';
}

void Operators::save() {
  states_.push_back(now());
  word("q");
}

void Operators::restore() {
  states_.pop_back();
  word("Q");
}

void Operators::matrix(double a, double b, double c, double d, double e, double f) {
  for (const double value : {a, b, c, d}) number(value, of_a_scale);
  number(e);
  number(f);
  word("cm");
}

void Operators::line_width(double width) {
  if (!changes(now().line_width, width)) return;
  number(width);
  word("w");
}

void Operators::stroke_grey(double grey) {
  if (!changes(now().stroke_grey, grey)) return;
  number(grey);
  word("G");
}

void Operators::fill_grey(double grey) {
  if (!changes(now().fill_grey, grey)) return;
  number(grey);
  word("g");
}

void Operators::dash(const std::vector<int>& lengths) {
  if (!changes(now().dash, lengths)) return;
  bytes_ += '[';
  for (const int length : lengths) number(length);
  word("]0 d");
}

void Operators::rectangle(double x, double y, double width, double height) {
  for (const double value : {x, y, width, height}) number(value);
  word("re");
}

void Operators::move(double x, double y) {
  number(x);
  number(y);
  word("m");
}

void Operators::line(double x, double y) {
  number(x);
  number(y);
  word("l");
}

void Operators::clip() { word("W n"); }

void Operators::text(double x, double y, std::string_view font, double size,
                     std::u32string_view text) {
  word("BT");
  const bool other_font = changes(now().font, std::string(font));
  const bool other_size = changes(now().size, size);
  if (other_font || other_size) {
    (bytes_ += '/').append(font) += ' ';
    number(size);
    word("Tf");
  }
  number(x);
  number(y);
  bytes_ += "Td\n<";
  for (const char32_t c : text)
    for (int shift = 12; shift >= 0; shift -= 4) bytes_ += "0123456789ABCDEF"[(c >> shift) & 0xF];
  word(">Tj\nET");
}

void Operators::object(std::string_view name) {
  (bytes_ += '/').append(name) += ' ';
  word("Do");
}

std::string Operators::take() { return std::exchange(bytes_, {}); }

}  // namespace trencher::paper
