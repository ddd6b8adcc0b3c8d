// ISO/IEC 7064 MOD 97-10 against figures that others published.
#include <catch2/catch.hpp>
#include <string>

#include "domain/code.h"

using trencher::check_digits;

// 794 to 44 is the standard's own example (from memory). The others are in the tests of two general
// check-digit libraries, python-stdnum (iso7064.mod_97_10) and node-iso7064.
TEST_CASE("check digits: published pairs of MOD 97-10 come out") {
  CHECK(check_digits("794") == "44");
  CHECK(check_digits("538182357") == "82");
  CHECK(check_digits("001937967935") == "37");
  CHECK(check_digits("352415823471") == "14");
  CHECK(check_digits("99991234567890121414") == "90");
  CHECK(check_digits("4354111611551114") == "31");
}

namespace {

// Letters as 10 to 35, as IBAN (ISO 13616) and LEI (ISO 17442) have it.
std::string digits_of(const std::string& text) {
  std::string out;
  for (const char c : text)
    out += c >= 'A' && c <= 'Z' ? std::to_string(c - 'A' + 10) : std::string(1, c);
  return out;
}

}  // namespace

// IBAN: the example that banking guides print, GB82 WEST 1234 5698 7654 32 (from memory); its
// country and check digits stand at the front and are computed at the end.
TEST_CASE("check digits: the example IBAN and an LEI carry them") {
  CHECK(check_digits(digits_of("WEST12345698765432GB")) == "82");
  // LEI 213800KUD8LAJWSQ9D15, from the tests of python-stdnum.
  CHECK(check_digits(digits_of("213800KUD8LAJWSQ9D")) == "15");
}
