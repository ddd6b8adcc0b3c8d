// Which lines a card carries, against the texts of the laws as docs/sources.md names them.
#include "engine/card_lines.h"

#include <algorithm>
#include <catch2/catch.hpp>

#include "domain/kinds.h"

using namespace trencher::engine;

namespace {

const std::vector<std::string> markets{"us", "us-ca", "eu", "de", "uk", "ca", "anz"};
const std::vector<std::string> uses{"cutting-board", "serving-board", "salad-bowl", "utensil",
                                    "toy"};

CardCase given(const std::string& market, const std::string& use, const std::string& as = "sale") {
  CardCase out{market, use, as};
  out.has_address = out.has_contact = out.has_electronic_address = true;
  return out;
}

bool has(const CardCase& card, const std::string& key) {
  const auto lines = card_lines(card);
  return std::find(lines.begin(), lines.end(), key) != lines.end();
}

}  // namespace

TEST_CASE("the lines of a card are keys, each once, in the order of the keys") {
  const auto keys = card_line_keys();
  for (const std::string& market : markets)
    for (const std::string& use : uses)
      for (const char* as : {"gift", "sale", "private-gift"}) {
        auto at = keys.begin();
        for (const std::string& line : card_lines(given(market, use, as))) {
          at = std::find(at, keys.end(), line);
          REQUIRE(at != keys.end());
          ++at;
        }
      }
}

TEST_CASE("what every card says does not depend on market, use or way of leaving") {
  for (const std::string& market : markets)
    for (const std::string& use : uses)
      for (const char* as : {"gift", "sale", "private-gift"})
        for (const char* key : {"use", "wood", "glue", "finish", "contains", "allergy", "wash",
                                "dishwasher", "oiling", "maker", "code", "local-rules"})
          CHECK(has(given(market, use, as), key));
}

// (EC) 1935/2004 art 15(1)(a); SI 2012/2619 makes it British law.
TEST_CASE("the words of purpose stand on what touches food in Europe and was not a private gift") {
  for (const std::string& market : markets) {
    const bool asked = market == "eu" || market == "de" || market == "uk";
    CHECK(has(given(market, "cutting-board"), "for-food-contact") == asked);
    CHECK(has(given(market, "utensil", "gift"), "for-food-contact") == asked);
    CHECK_FALSE(has(given(market, "toy"), "for-food-contact"));
    CHECK_FALSE(has(given(market, "cutting-board", "private-gift"), "for-food-contact"));
  }
}

TEST_CASE("a toy has no first contact and no kitchen advice beyond washing") {
  for (const char* key : {"first-contact", "separate-boards", "sanitise", "grooves"}) {
    CHECK_FALSE(has(given("us", "toy"), key));
    CHECK(has(given("us", "cutting-board"), key));
  }
  CHECK_FALSE(has(given("us", "serving-board"), "sanitise"));
  CHECK(has(given("us", "serving-board"), "grooves"));
}

TEST_CASE("what is not there has no line, but an address that a market asks for keeps its own") {
  CardCase bare{"us", "cutting-board", "sale"};
  for (const char* key : {"address", "contact", "electronic-address", "responsible", "ingredients",
                          "others", "rags", "laminated"})
    CHECK_FALSE(has(bare, key));
  bare.market = "de";
  CHECK(has(bare, "address"));
  CHECK(has(bare, "electronic-address"));
  bare.market = "uk";
  CHECK(has(bare, "address"));
  CHECK_FALSE(has(bare, "electronic-address"));
  bare = {"eu", "cutting-board", "private-gift"};
  CHECK_FALSE(has(bare, "address"));
  CHECK_FALSE(has(bare, "electronic-address"));
}

TEST_CASE("glue, self-heating finish, ingredients and parts bring their lines") {
  CardCase card = given("us", "cutting-board");
  card.has_electronic_address = false;
  card.glued = card.self_heating = card.has_ingredients = card.has_others = true;
  card.has_shared = true;
  for (const char* key : {"laminated", "rags", "ingredients", "others", "contact"})
    CHECK(has(card, key));
}

// (EU) 2023/988 art 16.
TEST_CASE("who is responsible in the Union stands on cards for the Union only") {
  for (const std::string& market : markets) {
    CardCase card = given(market, "cutting-board");
    card.has_responsible = true;
    CHECK(has(card, "responsible") == (market == "eu" || market == "de"));
    card.as = "private-gift";
    CHECK_FALSE(has(card, "responsible"));
  }
}

// (EU) 2023/988 art 9(5) and (6); neither SI 2005/1803 reg 7 nor 1935/2004 art 15 asks for an
// electronic address.
TEST_CASE("a rule asks for lines by name and of a private gift for none") {
  using Lines = std::vector<std::string>;
  const auto rule = [](const char* key, const char* check) {
    trencher::Rule out;
    out.key = key;
    out.check = check;
    return out;
  };
  const auto gpsr = rule("eu-gpsr-art9", "maker-on-card");
  const auto code = rule("eu-gpsr-art9-code", "batch-code-on-card");
  for (const char* market : {"eu", "de"})
    CHECK(lines_asked_by(gpsr, given(market, "toy")) ==
          Lines{"maker", "address", "electronic-address"});
  for (const char* key : {"eu-1935-art15", "uk-gpsr", "ca-labelling-maker"})
    CHECK(lines_asked_by(rule(key, "maker-on-card"), given("uk", "toy")) ==
          Lines{"maker", "address"});
  CHECK(lines_asked_by(code, given("eu", "toy")) == Lines{"code"});
  CHECK(lines_asked_by(rule("eu-x", "card-cautions"), given("eu", "toy")).empty());
  for (const auto& one : {gpsr, code})
    CHECK(lines_asked_by(one, given("eu", "toy", "private-gift")).empty());
}
