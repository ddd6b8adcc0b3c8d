// The shipped rules of markets, and how a malformed file is refused. Whether they say what the laws
// say was checked against shared reference notes, each marked read or from memory.
#include <algorithm>
#include <catch2/catch.hpp>
#include <string>

#include "domain/error.h"
#include "reference/reference.h"
#include "reference/tables.h"

namespace {

using namespace trencher;

std::string rule_text(const std::string& line = "", const std::string& without = "") {
  std::string out = "market = \"eu\"\n[[rule]]\n";
  for (const char* key : {"key = \"eu-x\"", "cite = \"C\"", "asks = \"A\"", "when = \"W\"",
                          "check = \"recall-notice\"", "ask = \"O\"", "reviewed = \"2026-11-25\"",
                          "source = \"S\"", "standing = \"memory\""})
    if (without.empty() || !std::string(key).starts_with(without + " "))
      out += std::string(key) + "\n";
  return out + line;
}

std::string refusal(const std::string& text) {
  try {
    reference::read_rules(text, "x.toml");
    return "";
  } catch (const Error& failure) {
    return failure.what();
  }
}

}  // namespace

TEST_CASE("rules: every market says where an accident is reported, and which law asks it") {
  for (const char* market : {"us", "us-ca", "eu", "de", "uk", "ca", "anz"}) {
    INFO(market);
    const auto rules = reference::rules_of(market, "accident-report");
    REQUIRE(rules.size() == 1);
    CHECK_FALSE(rules[0].cite.empty());
    CHECK_FALSE(rules[0].ask.empty());
    CHECK(rules[0].reviewed.ok());
  }
  CHECK(reference::rules_of("de", "accident-report")[0].key == "eu-gpsr-accident");
  CHECK(reference::rules_of("eu", "recall-notice")[0].key == "eu-gpsr-recall");
  CHECK(reference::rules_of("us", "recall-notice").empty());
}

// Days and hours as rules.md and rules-review.md have them: 24 hours (16 CFR 1115.14, from memory),
// no number in art 20 (read), 2 days in Canada (read), 2 days in Australia (from memory).
TEST_CASE("rules: the deadlines are those of the laws") {
  const auto asks = [](const char* market) {
    return reference::rules_of(market, "accident-report").at(0).asks;
  };
  CHECK(asks("us").find("within 24 hours") != std::string::npos);
  CHECK(asks("eu").find("no number of days") != std::string::npos);
  CHECK(asks("ca").find("within two days") != std::string::npos);
  CHECK(asks("anz").find("within two days") != std::string::npos);
}

TEST_CASE("rules: no key stands twice and each begins with its market") {
  std::vector<std::string> keys;
  for (const Rule& rule : reference::rules()) {
    CHECK(rule.key.starts_with(rule.market + "-"));
    keys.push_back(rule.key);
  }
  std::sort(keys.begin(), keys.end());
  CHECK(std::adjacent_find(keys.begin(), keys.end()) == keys.end());
}

TEST_CASE("rules: a malformed file is refused with file, line and reason") {
  CHECK(refusal(rule_text()).empty());
  CHECK(refusal(rule_text("colour = \"red\"\n")) ==
        "x.toml, line 12: 'colour' is not a key of a rule.");
  CHECK(refusal(rule_text("", "cite")) == "x.toml, line 2: 'cite' must be text.");
  CHECK(refusal("market = \"moon\"\n").starts_with("x.toml, line 1: 'market' must be us, "));
  CHECK(refusal("market = \"eu\"\n") == "x.toml, line 1: 'rule' must be one table or more.");
  std::string wrong_day = rule_text();
  wrong_day.replace(wrong_day.find("2026-11-25"), 10, "25.11.2026");
  CHECK(refusal(wrong_day) == "x.toml, line 9: 'reviewed' must be a day: 2026-11-25.");
  std::string other = rule_text();
  other.replace(other.find("eu-x"), 4, "uk-x");
  CHECK(refusal(other) == "x.toml, line 3: 'key' must begin with 'eu-'.");
  CHECK(refusal(rule_text() + rule_text().substr(rule_text().find("[[rule]]"))) ==
        "x.toml, line 12: 'eu-x' stands twice.");
}

TEST_CASE("rules: texts hold no control character and are not blank") {
  const auto with = [](const std::string& from, const std::string& to) {
    std::string text = rule_text();
    return text.replace(text.find(from), from.size(), to);
  };
  CHECK(refusal(with("\"C\"", "\"C\\u0007\"")) ==
        "x.toml, line 4: 'cite' holds the control character U+0007 in 'C\uFFFD'; plain text on one "
        "line is needed.");
  CHECK(refusal(with("\"A\"", "\"  \"")) ==
        "x.toml, line 5: 'asks' is empty; it must say something.");
  CHECK(refusal(with("\"recall-notice\"", "\"paper-names\"") + "names = [\"art 1\", \" \"]\n") ==
        "x.toml, line 12: 'names' is empty; it must say something.");
  CHECK(refusal(rule_text("species = [\"\"]\n")) ==
        "x.toml, line 12: 'species' is empty; it must say something.");
}

TEST_CASE("rules: a key is the market and words with single hyphens") {
  const auto keyed = [](const std::string& market, const std::string& key) {
    std::string text = rule_text();
    text.replace(text.find("\"eu\""), 4, "\"" + market + "\"");
    return refusal(text.replace(text.find("eu-x"), 4, key));
  };
  for (const char* key : {"us-x", "us-2-x", "us-cay-x", "us-ca"}) CHECK(keyed("us", key).empty());
  for (const char* key : {"us-", "us-X", "us-a--b", "us-a-", "us--a", "us-a b", "us-ä", "us-a_b"}) {
    INFO(key);
    CHECK(keyed("us", key) ==
          "x.toml, line 3: 'key' must be of a-z, 0-9 and single hyphens between them.");
  }
  CHECK(keyed("us-ca", "us-ca-x").empty());
  CHECK(keyed("us", "us-ca-x") ==
        "x.toml, line 3: 'key' begins as the rules of the market 'us-ca' do.");
}

TEST_CASE("rules: languages belong to the check of the card's language alone") {
  CHECK(refusal(rule_text("languages = [\"de\"]\n")) ==
        "x.toml, line 12: 'languages' belongs to the check card-language, and to no other.");
  std::string text = rule_text("languages = [\"de\"]\n");
  CHECK(refusal(text.replace(text.find("recall-notice"), 13, "card-language")).empty());
}
