// Codes of batches and pieces: read only as printed, and every slip of one digit noticed.
#include <algorithm>

#include "domain/code.h"
#include "domain/text.h"
#include "fuzz.h"

using namespace trencher;

namespace {

std::string digits_of(std::string_view text) {
  std::string out;
  for (const char c : text)
    if (c >= '0' && c <= '9') out += c;
  return out;
}

// ISO/IEC 7064 MOD 97-10: the whole number, check digits and all, leaves 1.
int remainder_of(std::string_view digits) {
  int out = 0;
  for (const char c : digits) out = (out * 10 + (c - '0')) % 97;
  return out;
}

// At one place of the code: each other digit there, and the swap with its neighbour.
void see_slips(const std::string& code, std::size_t at) {
  if (code[at] == '-') ++at;
  const auto refused = [&](const std::string& slip) {
    fuzz::demand(!parse_piece_code(slip).code, "a slip of one digit is noticed", slip);
  };
  for (char digit = '0'; digit <= '9'; ++digit) {
    std::string slip = code;
    slip[at] = digit;
    if (digit != code[at]) refused(slip);
  }
  const std::size_t next = code.find_first_not_of('-', at + 1);
  if (next == std::string::npos || code[next] == code[at]) return;
  std::string slip = code;
  std::swap(slip[at], slip[next]);
  refused(slip);
  const auto near = codes_one_slip_away(slip);
  fuzz::demand(std::find(near.begin(), near.end(), code) != near.end(),
               "the code that was meant is proposed", slip + " for " + code);
}

void see_piece(const PieceCode& code, std::size_t place) {
  const std::string text = code.text();
  fuzz::demand(parse_piece_code(text).code == code, "a code is read as it is printed", text);
  fuzz::demand(remainder_of(digits_of(text)) == 1, "the check digits fit", text);
  see_slips(text, place % text.size());
}

void see_pieces(std::string_view text, int most) {
  const auto numbers = fuzz::accepted([&] { return parse_piece_numbers(text, most); });
  if (!numbers) return;
  fuzz::demand(std::is_sorted(numbers->begin(), numbers->end()) &&
                   std::adjacent_find(numbers->begin(), numbers->end()) == numbers->end(),
               "numbers of pieces are in order and once each", std::string(text));
  fuzz::demand(!numbers->empty() && numbers->front() >= 1 && numbers->back() <= most,
               "numbers of pieces are of the batch", std::string(text));
  const std::string shown = show_piece_numbers(*numbers);
  fuzz::demand(parse_piece_numbers(shown, most) == *numbers, "numbers are read as shown", shown);
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  fuzz::Bytes in(data, size);
  const std::uint32_t number = in.number();
  const int most = static_cast<int>(number % 999) + 1;
  const std::string text = in.line();
  const PieceCode made{{static_cast<int>(number % 100), static_cast<int>(number / 100 % 99999) + 1},
                       most};
  const std::size_t place = in.byte();
  see_piece(made, place);
  fuzz::demand(parse_batch_code(made.batch.text()) == made.batch, "a batch is read as printed",
               made.batch.text());
  if (const auto batch = parse_batch_code(text))
    fuzz::demand(join(split(text, '-'), "-") == batch->text(), "no other form is read", text);
  const PieceReading reading = parse_piece_code(text);
  if (reading.code) {
    fuzz::demand(reading.right_form, "what has a code has its form", text);
    fuzz::demand(digits_of(text) == digits_of(reading.code->text()), "no other digits are read",
                 text);
    see_piece(*reading.code, place);
  }
  for (const std::string& near : codes_one_slip_away(text))
    fuzz::demand(
        parse_piece_code(near).code && edit_distance(digits_of(text), digits_of(near)) == 1,
        "a code that is proposed lies one slip away", text + " " + near);
  see_pieces(text, most);
  return 0;
}
