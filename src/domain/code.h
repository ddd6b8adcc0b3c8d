// Codes of batches and pieces: 26-014 and 26-014-03-24.
//
// The last two digits of a piece's code check the digits before them by ISO/IEC 7064 MOD 97-10.
// They run from 02 to 98 and are verified by computing them anew: remainder 1 alone would let two
// pairs pass for some codes. Every wrong digit and every swap of neighbours is caught.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trencher {

struct BatchCode {
  int year = 0;              // of the century: 26
  int number = 0;            // 1 to 99999 in the year
  std::string text() const;  // at least three digits: 26-014
  bool operator==(const BatchCode&) const = default;
};

struct PieceCode {
  BatchCode batch;
  int number = 0;            // 1 to 999 in the batch
  std::string text() const;  // at least two digits, then the check: 26-014-03-24
  bool operator==(const PieceCode&) const = default;
};

// The check digits of `digits` (only 0 to 9), "02" to "98": ISO/IEC 7064 MOD 97-10.
std::string check_digits(std::string_view digits);

std::optional<BatchCode> parse_batch_code(std::string_view text);

struct PieceReading {
  std::optional<PieceCode> code;  // where the form and the check hold
  bool right_form = false;        // looked like a piece's code, whatever its check
};
// Takes the hyphens as printed, or nine bare digits (longer codes need their hyphens, since
// 26-1014-03 and 26-101-403 share their digits).
PieceReading parse_piece_code(std::string_view text);

// Codes with a right check that lie one digit or one swap of neighbours from `text`.
std::vector<std::string> codes_one_slip_away(std::string_view text);

// "1-3,5" to {1,2,3,5}, each from 1 to `most`. Error::request naming the value and the rule.
std::vector<int> parse_piece_numbers(std::string_view text, int most);
std::string show_piece_numbers(const std::vector<int>& numbers);  // {1,2,3,5} to "1-3, 5"
std::string name_pieces(const std::vector<int>& numbers);         // "piece 3", "pieces 1-3, 5"

}  // namespace trencher
