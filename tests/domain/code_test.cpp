#include "domain/code.h"

#include <catch2/catch.hpp>
#include <set>
#include <utility>

#include "refusal.h"

using namespace trencher;

namespace {

std::string shown(std::string_view text) {
  const PieceReading reading = parse_piece_code(text);
  if (reading.code) return reading.code->text();
  return reading.right_form ? "wrong check" : "no code";
}

std::string bare(const PieceCode& code) {
  std::string out = code.text();
  std::erase(out, '-');
  return out;
}

// Every piece whose code has nine digits, in part: batches 26-001 to 26-999, pieces 1 to 20.
template <typename Visit>
void each_piece(const Visit& visit) {
  for (int batch = 1; batch <= 999; ++batch)
    for (int piece = 1; piece <= 20; ++piece) visit(PieceCode{{26, batch}, piece});
}

}  // namespace

TEST_CASE("code: batches and pieces are written with their least widths") {
  CHECK(BatchCode{26, 14}.text() == "26-014");
  CHECK(BatchCode{6, 999}.text() == "06-999");
  CHECK(BatchCode{26, 1000}.text() == "26-1000");
  CHECK(BatchCode{26, 99999}.text() == "26-99999");
  // By hand: 260140300 mod 97 is 74, and 98 - 74 is 24.
  CHECK(PieceCode{{26, 14}, 3}.text() == "26-014-03-24");
  CHECK(PieceCode{{26, 14}, 100}.text().substr(0, 11) == "26-014-100-");
}

TEST_CASE("code: a batch code is read as it is printed") {
  CHECK(parse_batch_code("26-014") == BatchCode{26, 14});
  CHECK(parse_batch_code("00-001") == BatchCode{0, 1});
  CHECK(parse_batch_code("26-1000") == BatchCode{26, 1000});
  CHECK(parse_batch_code("26-99999") == BatchCode{26, 99999});
  for (const auto* text :
       {"", "26", "26-", "-014", "26-14", "26-000", "26-0014", "26-100000", "6-014", "126-014",
        "26-01a", "a6-014", "26-014-03", "26014", "26--14", "+6-014"}) {
    CAPTURE(text);
    CHECK_FALSE(parse_batch_code(text).has_value());
  }
}

TEST_CASE("code: a piece code is read as printed or as nine bare digits") {
  CHECK(shown("26-014-03-24") == "26-014-03-24");
  CHECK(shown("260140324") == "26-014-03-24");
  CHECK(parse_piece_code("26-014-03-24").code == PieceCode{{26, 14}, 3});
  CHECK(shown("26-014-03-25") == "wrong check");
  CHECK(shown("260140325") == "wrong check");
  for (const auto* text :
       {"", "26-014", "26-014-03", "26-014-03-", "26-014-03-2", "26-014-03-244", "26-014-0a-24",
        "6-014-03-24", "26014032", "2601403244", "26-014-03-24-1"}) {
    CAPTURE(text);
    CHECK(shown(text) == "no code");
    CHECK_FALSE(parse_piece_code(text).right_form);
  }
}

TEST_CASE("code: numbers beyond what is given out do not read even with a right check") {
  for (const std::string digits : {"26-000-03", "26-014-00", "26-0014-03", "26-014-003", "26-14-03",
                                   "26-014-3", "26-100000-03", "26-014-1000"}) {
    std::string plain = digits;
    std::erase(plain, '-');
    CAPTURE(digits);
    CHECK(shown(digits + "-" + check_digits(plain)) == "wrong check");
  }
  CHECK(shown(PieceCode{{26, 99999}, 999}.text()) == PieceCode{{26, 99999}, 999}.text());
}

TEST_CASE("code: longer codes need their hyphens since two pieces may share their digits") {
  const PieceCode one{{26, 1014}, 3}, other{{26, 101}, 403};
  CHECK(bare(one) == bare(other));
  CHECK(one.text() == "26-1014-03-12");
  CHECK(other.text() == "26-101-403-12");
  CHECK(parse_piece_code(one.text()).code == one);
  CHECK(parse_piece_code(other.text()).code == other);
  CHECK(shown(bare(one)) == "no code");
}

TEST_CASE("code: check digits run from 02 to 98") {
  std::set<std::string> seen;
  each_piece([&](const PieceCode& code) { seen.insert(bare(code).substr(7)); });
  CHECK(*seen.begin() == "02");
  CHECK(*seen.rbegin() == "98");
  CHECK(seen.size() == 97);
}

// By remainder alone 97 and 00, 98 and 01, 02 and 99 are the same.
TEST_CASE("code: a check that only leaves the same remainder is refused") {
  int twins = 0;
  each_piece([&](const PieceCode& code) {
    const std::string digits = bare(code);
    const std::string_view check = std::string_view(digits).substr(7);
    const std::string_view twin = check == "97"   ? "00"
                                  : check == "98" ? "01"
                                  : check == "02" ? "99"
                                                  : "";
    if (twin.empty()) return;
    ++twins;
    if (shown(digits.substr(0, 7) + std::string(twin)) != "wrong check") FAIL_CHECK(digits);
  });
  CHECK(twins > 500);
}

TEST_CASE("code: every wrong digit and every swap of neighbours is caught") {
  std::size_t slips = 0, codes = 0;
  each_piece([&](const PieceCode& code) {
    const std::string right = bare(code);
    ++codes;
    REQUIRE(parse_piece_code(right).code == code);
    const auto must_fail = [&](const std::string& wrong) {
      ++slips;
      if (parse_piece_code(wrong).code) FAIL_CHECK(right << " passes as " << wrong);
    };
    for (std::size_t i = 0; i < right.size(); ++i) {
      std::string wrong = right;
      for (char digit = '0'; digit <= '9'; ++digit)
        if (digit != right[i]) must_fail((wrong[i] = digit, wrong));
      if (i + 1 == right.size() || right[i] == right[i + 1]) continue;
      wrong = right;
      std::swap(wrong[i], wrong[i + 1]);
      must_fail(wrong);
    }
  });
  CHECK(codes == 999u * 20);
  CHECK(slips > codes * 81);  // nine digits, nine wrong ones each, and the swaps
}

TEST_CASE("code: codes one slip away hold the one that was meant") {
  const auto near = [](std::string_view text) {
    const auto codes = codes_one_slip_away(text);
    return std::set<std::string>(codes.begin(), codes.end());
  };
  CHECK(near("26-014-03-25").count("26-014-03-24") == 1);  // a wrong digit
  CHECK(near("26-014-30-24").count("26-014-03-24") == 1);  // a swap in a group
  CHECK(near("26-010-43-24").count("26-014-03-24") == 1);  // a swap across a hyphen
  CHECK(near("260140325").count("26-014-03-24") == 1);     // bare digits
  CHECK(near("26-014-03-24").empty());                     // no other right code is so near
  CHECK(near("").empty());
  CHECK(near("26-014").empty());
}

TEST_CASE("code: every code one slip away is right and listed once in order") {
  const std::string typed = "26-014-03-25";
  const auto codes = codes_one_slip_away(typed);
  REQUIRE_FALSE(codes.empty());
  CHECK(std::is_sorted(codes.begin(), codes.end()));
  CHECK(std::set<std::string>(codes.begin(), codes.end()).size() == codes.size());
  for (const std::string& code : codes) {
    CAPTURE(code);
    CHECK(parse_piece_code(code).code.has_value());
    REQUIRE(code.size() == typed.size());
    std::vector<std::size_t> differ;
    for (std::size_t i = 0; i < code.size(); ++i)
      if (code[i] != typed[i]) differ.push_back(i);
    const bool swap = differ.size() == 2 && code[differ[0]] == typed[differ[1]] &&
                      code[differ[1]] == typed[differ[0]];
    CHECK((differ.size() == 1 || swap));
  }
}

TEST_CASE("code: piece numbers are read from ranges and shown as ranges") {
  CHECK(parse_piece_numbers("1-3,5", 6) == std::vector{1, 2, 3, 5});
  CHECK(parse_piece_numbers("5, 1-3 , 2", 6) == std::vector{1, 2, 3, 5});
  CHECK(parse_piece_numbers("4", 4) == std::vector{4});
  CHECK(parse_piece_numbers("2-2", 4) == std::vector{2});
  CHECK(show_piece_numbers({1, 2, 3, 5}) == "1-3, 5");
  CHECK(show_piece_numbers({1, 2}) == "1-2");
  CHECK(show_piece_numbers({1, 3, 5, 6}) == "1, 3, 5-6");
  CHECK(show_piece_numbers({}) == "");
}

TEST_CASE("code: piece numbers outside the batch are refused") {
  const auto refuses = [](std::string_view text) {
    return refusal([&] { parse_piece_numbers(text, 6); });
  };
  CHECK(refuses("0") == "request: Piece '0' is no whole number from 1 to 6.");
  CHECK(refuses("7") == "request: Piece '7' is no whole number from 1 to 6.");
  CHECK(refuses("1-7") == "request: Piece '7' is no whole number from 1 to 6.");
  CHECK(refuses("") == "request: Piece '' is no whole number from 1 to 6.");
  CHECK(refuses("1,,2") == "request: Piece '' is no whole number from 1 to 6.");
  CHECK(refuses("1-2-3") == "request: Piece '2-3' is no whole number from 1 to 6.");
  CHECK(refuses("3-1") == "request: Pieces '3-1' run backwards; write the lower number first.");
}
