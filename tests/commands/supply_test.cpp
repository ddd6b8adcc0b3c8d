#include "commands/supply.h"

#include <catch2/catch.hpp>

using namespace trencher::commands;

namespace {

bool same(const std::string& a, const std::string& a_lot, const std::string& b,
          const std::string& b_lot) {
  return same_supply({"F1", "x", a, a_lot}, {"F2", "y", b, b_lot});
}

bool alike(const std::string& a, const std::string& a_lot, const std::string& b,
           const std::string& b_lot) {
  const Supply one{"F1", "x", a, a_lot}, other{"F2", "y", b, b_lot};
  CHECK(looks_alike(one, other) == looks_alike(other, one));
  return looks_alike(one, other);
}

}  // namespace

TEST_CASE("supply: case and runs of blanks make no other lot") {
  CHECK(same("Oils Ltd", "C-1", "OILS  ltd", "c-1"));
  CHECK(same("Müller & Söhne", "É 7", "MÜLLER & SÖHNE", "é\u00a0\u202f7"));
  CHECK(same("Łąka", "1", "łĄKA", "1"));
  CHECK(same("Žít", "1", "žÍT", "1"));
  CHECK(same("Οίκος", "Ж", "οίκος", "ж"));
  CHECK_FALSE(same("Oils", "C-1", "Oils", "C1"));
  CHECK_FALSE(same("Oils", "C-1", "Oil", "C-1"));
  CHECK_FALSE(same("Oils", "C-1", "Oils", "C-2"));
  CHECK_FALSE(same("Oils", "C×1", "Oils", "C÷1"));  // the one letter sign of Latin-1 without a case
}

TEST_CASE("supply: what differs by little is shown, and never taken for the same") {
  CHECK_FALSE(alike("Oils", "C-1", "oils", " c-1"));  // the same, not alike
  CHECK(alike("Oils", "C-1", "Oils", "C1"));          // hyphen
  CHECK(alike("Oils", "C 1 22", "Oils", "C122"));     // blanks
  CHECK(alike("Oils", "A1234", "Oils", "A1243"));     // neighbours swapped
  CHECK(alike("Oils", "A1234", "Oils", "A1235"));     // one slip
  CHECK(alike("Oils", "A1234", "Oils", "A123"));      // one left out
  CHECK(alike("Oils", "LO10", "Oils", "L010"));       // O for 0
  CHECK(alike("Oils", "B8l", "Oils", "B81"));         // l for 1
  CHECK(alike("Oils", "C-1", "Bees", "c 1"));         // the same lot of somebody else
  CHECK(alike("Oils and More", "C-1", "Oils & More", "C-1"));
  CHECK(alike("Oils", "C-1", "Oils Ltd", "C1"));
  CHECK(alike("Müller", "C-17", "Mueller", "C-18"));
  CHECK_FALSE(alike("Oils", "A1234", "Oils", "A1299"));
  CHECK_FALSE(alike("Oils", "A1234", "Bees", "A1235"));  // another lot of somebody else
  CHECK_FALSE(alike("Oils", "1", "Oils", "2"));          // one sign says nothing
  CHECK_FALSE(alike("Oils", "-", "Bees", "/"));
}
