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
