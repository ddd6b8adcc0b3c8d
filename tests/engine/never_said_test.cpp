// What is never said is found however it is written, and nothing else is.
#include "engine/never_said.h"

#include <catch2/catch.hpp>

namespace {

using namespace trencher;

const std::vector<NeverSaid> phrases{
    {"food safe*", "en", false, "the day"}, {"allergen free", "en", false, "contains"},
    {"eco", "en", false, "species"},        {"zertifizier*", "de", false, "x"},
    {"ökologisch*", "de", false, "x"},      {"exempt d'", "fr", false, "x"},
    {"free from", "en", false, "contains"}, {"does not mean free from", "en", true, ""},
};

std::string found(std::string_view text) {
  std::string out;
  for (const NeverSaid* claim : engine::claims_in(text, phrases))
    out += (out.empty() ? "" : "|") + claim->phrase;
  return out;
}

}  // namespace

TEST_CASE("never said: case, hyphens and blanks do not hide a claim") {
  for (const char* text : {"food safe", "Food-Safe", "FOOD  SAFE", "food\u2011safe",
                           "food\u00A0safe", "(food-safe)", "a food-safety mark", "food\nsafe"}) {
    INFO(text);
    CHECK(found(text) == "food safe*");
  }
  CHECK(found("Allergen-free and eco") == "allergen free|eco");
  CHECK(found("ZERTIFIZIERTES Holz") == "zertifizier*");
  CHECK(found("ÖKOLOGISCH") == "ökologisch*");
  CHECK(found("exempt d\u2019arachide") == "exempt d'");
}

TEST_CASE("never said: words are whole") {
  for (const char* text : {"seafood safely stored", "economy", "recorded", "decoy", "food, safe",
                           "unzertifiziert", ""}) {
    INFO(text);
    CHECK(found(text).empty());
  }
}

TEST_CASE("never said: a denial is no claim, and hides no claim beside it") {
  CHECK(found("None recorded does not mean free from.").empty());
  CHECK(found("That does not mean free-from; it is free from nuts.") == "free from");
}

TEST_CASE("never said: the finding names the text, the words and what to say instead") {
  const auto findings =
      engine::claim_findings("Food-safe Boards", "the maker's name", engine::Result::stop, phrases);
  REQUIRE(findings.size() == 1);
  CHECK(findings[0].check == "claim-in-text");
  CHECK(findings[0].about == "the maker's name");
  CHECK(findings[0].reason ==
        "'Food-safe Boards' says 'food safe', which no paper of this program may say of a board; "
        "say instead: the day.");
}
