#include "paper/phrases.h"

#include <catch2/catch.hpp>
#include <regex>

#include "domain/embedded.h"
#include "domain/error.h"

using namespace trencher;
using namespace trencher::paper;

namespace {

// What no paper may claim: brief and design of the project, rules.md section 10.
const std::regex forbidden(
    "food[- ]?safe\\b|safe for food|100 ?% safe|allerg[a-z]*[- ]free|nut[- ]free|gluten[- ]free|"
    "hypoallergenic|non-?toxic|chemical-free|approved|certif|complian|complies|anti-?(bacterial|"
    "microb)|"
    "germ(?!an)|hygienic|self-sanitis|dishwasher[- "
    "]safe|\\beco\\b|\\bgreen\\b|sustainab|\\bnatural\\b|"
    "meets all|lawful|guarantee|c1074",
    std::regex::icase);

}  // namespace

TEST_CASE("No template makes a forbidden claim") {
  // The check itself first.
  CHECK(std::regex_search("This board is Food Safe.", forbidden));
  CHECK(std::regex_search("an antibacterial wood", forbidden));
  CHECK_FALSE(std::regex_search("Batch record: first food contact; safety data sheet", forbidden));
  int seen = 0;
  for (const EmbeddedFile& file : embedded_paper()) {
    INFO(file.path);
    std::smatch found;
    const std::string text(file.text);
    CHECK_FALSE(std::regex_search(text, found, forbidden));
    ++seen;
  }
  CHECK(seen >= 2);
}

TEST_CASE("A template line is a part and its text") {
  const auto lines = phrases("# comment: x\n\ntitle: One: two\nempty:  \nlast:no blank");
  REQUIRE(lines.size() == 2);
  CHECK(lines[0].part == "title");
  CHECK(lines[0].text == "One: two");
  CHECK(lines[1].text == "no blank");
  CHECK_THROWS_AS(phrases("no part here"), std::logic_error);
}

TEST_CASE("Values are filled in as they stand") {
  const Words words("record", "en");
  CHECK(words("page", {{"number", "2"}, {"count", "<3> & {{x}}"}}) == "page 2 of <3> & {{x}}");
  CHECK(words("struck", {{"number", ""}, {"why", ""}}) == "Struck");
  CHECK(words("struck", {{"number", "7"}, {"why", "wrong batch"}}) ==
        "Struck by entry 7: wrong batch");
  CHECK_THROWS_AS(words("no such part"), std::logic_error);
}

TEST_CASE("A language that is not there is refused with those that are") {
  CHECK_THROWS_WITH(Words("record", "xx"),
                    Catch::Matchers::StartsWith(
                        "There is no record in the language \"xx\": there is de, en, es, fr."));
}
