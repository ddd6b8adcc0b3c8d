#include "domain/code.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <charconv>

#include "domain/error.h"
#include "domain/quantity.h"
#include "domain/text.h"

namespace trencher {
namespace {

bool all_digits(std::string_view text) {
  return !text.empty() && text.find_first_not_of("0123456789") == std::string_view::npos;
}

int number_of(std::string_view digits) {
  int value = 0;
  std::from_chars(digits.data(), digits.data() + digits.size(), value);
  return value;
}

// A number as its code prints it: no leading zero beyond the least width.
bool printed_so(std::string_view digits, std::size_t least, std::size_t most) {
  return all_digits(digits) && digits.size() >= least && digits.size() <= most &&
         (digits.size() == least || digits.front() != '0') && number_of(digits) > 0;
}

constexpr std::size_t longest_code = 48;  // three numbers of any size and what joins them

// With zeros before it up to `least` digits; returns where it ends.
char* put_number(char* at, int value, std::ptrdiff_t least) {
  int left = value;
  for (char* digit = at + least; digit != at; left /= 10)
    *--digit = static_cast<char>('0' + left % 10);
  return left == 0 && value >= 0 ? at + least : std::to_chars(at, at + 12, value).ptr;
}

char* put_batch(char* at, const BatchCode& batch) {
  at = put_number(at, batch.year, 2);
  *at++ = '-';
  return put_number(at, batch.number, 3);
}

}  // namespace

std::string BatchCode::text() const {
  std::array<char, longest_code> out;
  return {out.data(), put_batch(out.data(), *this)};
}

// By hand: a book of a million boards writes this as often.
std::string PieceCode::text() const {
  std::array<char, longest_code> out;
  char* at = put_batch(out.data(), batch);
  *at++ = '-';
  at = put_number(at, number, 2);
  int remainder = 0;
  for (const char* digit = out.data(); digit != at; ++digit)
    if (*digit != '-') remainder = (remainder * 10 + (*digit - '0')) % 97;
  *at++ = '-';
  return {out.data(), put_number(at, 98 - remainder * 100 % 97, 2)};
}

std::string check_digits(std::string_view digits) {
  int remainder = 0;
  for (const char c : digits) remainder = (remainder * 10 + (c - '0')) % 97;
  const int check = 98 - remainder * 100 % 97;
  return {static_cast<char>('0' + check / 10), static_cast<char>('0' + check % 10)};
}

std::optional<BatchCode> parse_batch_code(std::string_view text) {
  const auto mark = text.find('-');
  if (mark != 2) return {};
  const std::string_view year = text.substr(0, mark), number = text.substr(mark + 1);
  if (!all_digits(year) || !printed_so(number, 3, 5)) return {};
  return BatchCode{number_of(year), number_of(number)};
}

PieceReading parse_piece_code(std::string_view text) {
  std::string spaced(text);
  if (all_digits(text) && text.size() == 9)
    spaced = fmt::format("{}-{}-{}-{}", text.substr(0, 2), text.substr(2, 3), text.substr(5, 2),
                         text.substr(7));
  const std::vector<std::string> parts = split(spaced, '-');
  if (parts.size() != 4 || parts[0].size() != 2 || parts[3].size() != 2) return {};
  if (!std::all_of(parts.begin(), parts.end(), [](const auto& p) { return all_digits(p); }))
    return {};
  PieceReading out{.code = {}, .right_form = true};
  if (printed_so(parts[1], 3, 5) && printed_so(parts[2], 2, 3)) {
    const PieceCode code{{number_of(parts[0]), number_of(parts[1])}, number_of(parts[2])};
    if (code.text() == spaced) out.code = code;
  }
  return out;
}

std::vector<std::string> codes_one_slip_away(std::string_view text) {
  std::vector<std::string> out;
  const auto consider = [&](const std::string& candidate) {
    if (const auto reading = parse_piece_code(candidate); reading.code)
      out.push_back(reading.code->text());
  };
  std::string slip(text);
  for (std::size_t i = 0; i < slip.size(); ++i) {
    if (slip[i] == '-') continue;
    const char kept = slip[i];
    for (char digit = '0'; digit <= '9'; ++digit) {
      slip[i] = digit;
      if (digit != kept) consider(slip);
    }
    slip[i] = kept;
    // The neighbour may stand behind a hyphen.
    const std::size_t next = slip.find_first_not_of('-', i + 1);
    if (next == std::string::npos || slip[next] == kept) continue;
    std::swap(slip[i], slip[next]);
    consider(slip);
    std::swap(slip[i], slip[next]);
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

std::vector<int> parse_piece_numbers(std::string_view text, int most) {
  std::vector<int> out;
  for (const std::string& part : split(text, ',')) {
    const auto dash = part.find('-');
    const auto first = parse_count(part.substr(0, dash), "Piece", 1, most);
    const auto last =
        dash == std::string::npos ? first : parse_count(part.substr(dash + 1), "Piece", 1, most);
    if (last < first)
      throw Error::request(
          fmt::format("Pieces '{}' run backwards; write the lower number first.", part));
    for (auto n = first; n <= last; ++n) out.push_back(static_cast<int>(n));
  }
  std::sort(out.begin(), out.end());
  out.erase(std::unique(out.begin(), out.end()), out.end());
  return out;
}

std::string show_piece_numbers(const std::vector<int>& numbers) {
  std::vector<std::string> runs;
  for (std::size_t i = 0; i < numbers.size();) {
    std::size_t end = i + 1;
    while (end < numbers.size() && numbers[end] == numbers[end - 1] + 1) ++end;
    runs.push_back(end - i == 1 ? std::to_string(numbers[i])
                                : fmt::format("{}-{}", numbers[i], numbers[end - 1]));
    i = end;
  }
  return join(runs, ", ");
}

std::string name_pieces(const std::vector<int>& numbers) {
  return (numbers.size() == 1 ? "piece " : "pieces ") + show_piece_numbers(numbers);
}

}  // namespace trencher
