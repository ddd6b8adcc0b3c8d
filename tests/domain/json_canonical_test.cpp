#include "domain/json_canonical.h"

#include <catch2/catch.hpp>
#include <random>
#include <string>

#include "domain/error.h"

using namespace trencher;

namespace {

// What a text is by the reader of any JSON: its value, where canonical() writes the same of it.
std::optional<Json> by_tree(const std::string& text) {
  try {
    Json json = Json::parse(text);
    if (json.canonical() == text) return json;
  } catch (const std::exception&) {  // none, or a number that canonical() refuses
  }
  return {};
}

Json invented(std::mt19937& random, int depth) {
  static const std::vector<std::string> texts{
      "",         "a", "batch",  "26-014", "é",
      "\"\\\n\t", "/", "\x7F x", "日本",   "zzzzzzzzzzzzzzzzzzzzzzzz"};
  const auto pick = [&](unsigned below) { return random() % below; };
  switch (pick(depth > 3 ? 3 : 5)) {
    case 0:
      return Json(texts[pick(static_cast<unsigned>(texts.size()))]);
    case 1:
      return Json(static_cast<std::int64_t>(random()) - 2'000'000'000);
    case 2:
      return Json(pick(2) == 0);
    case 3: {
      Json out = Json::array();
      for (auto left = pick(4); left > 0; --left) out.push(invented(random, depth + 1));
      return out;
    }
    default: {
      Json out = Json::object();
      for (auto left = pick(9); left > 0; --left)
        out.set(texts[pick(static_cast<unsigned>(texts.size()))], invented(random, depth + 1));
      return out;
    }
  }
}

}  // namespace

TEST_CASE("json, canonical: what an entry looks like is read") {
  const std::string text =
      R"({"batch":"26-014","drawn":[{"amount_ul":50000,"tin":"F1"}],"rags":true,"text":"a \"b\" \n é"})";
  const auto read = read_canonical(text);
  REQUIRE(read.has_value());
  CHECK(*read == Json::parse(text));
  CHECK(read_canonical("{}")->members().empty());
  CHECK(read_canonical("-12")->as_integer() == -12);
  CHECK(read_canonical("0")->as_integer() == 0);
}

TEST_CASE("json, canonical: any other form is left to the reader of any JSON") {
  for (const std::string text : {"",
                                 "{",
                                 "{\"a\":1",
                                 "{\"a\":1}x",
                                 " {}",
                                 "{} ",
                                 "{\"a\": 1}",
                                 "{\"b\":1,\"a\":1}",
                                 "{\"a\":1,\"a\":1}",
                                 "{\"a\":1,}",
                                 "{\"a\":null}",
                                 "[1,]",
                                 "[1 ,2]",
                                 "01",
                                 "-0",
                                 "+1",
                                 "-",
                                 "1.0",
                                 "1e3",
                                 "9007199254740992",
                                 "9223372036854775808",
                                 "\"\\u0041\"",
                                 "\"\\/\"",
                                 "\"\\u000A\"",
                                 "\"\t\"",
                                 "\"\xFF\"",
                                 "\"\xC3\"",
                                 "\"\\",
                                 "\"\\x\"",
                                 "tru",
                                 "truex",
                                 "nul",
                                 "{1:2}",
                                 "{\"a\"}",
                                 "\"a",
                                 "{\"a\":1\"b\":2}"}) {
    CAPTURE(text);
    CHECK_FALSE(read_canonical(text).has_value());
  }
  CHECK_FALSE(read_canonical(std::string("\"a\0b\"", 5)).has_value());
  CHECK_FALSE(read_canonical(std::string(200'000, '[')).has_value());
}

// What it reads, the tree reads alike and writes alike; and one byte changed is never believed
// where the tree does not.
TEST_CASE("json, canonical: never believes what the tree does not write") {
  std::mt19937 random(20261126);
  int believed = 0;
  for (int round = 0; round < 3000; ++round) {
    const Json json = invented(random, 0);
    std::string text = json.canonical();
    if (const auto read = read_canonical(text)) {
      CHECK(*read == Json::parse(text));
      ++believed;
    }
    for (int flip = 0; flip < 10 && !text.empty(); ++flip) {
      std::string other = text;
      char& byte = other[random() % other.size()];
      byte = flip < 5 ? static_cast<char>(byte ^ (1 << random() % 8))
                      : "\"\\{}[]:,01-. \n"[random() % 14];
      if (const auto read = read_canonical(other)) {
        CAPTURE(other);
        const auto tree = by_tree(other);
        REQUIRE(tree.has_value());
        CHECK(*read == *tree);
      }
    }
  }
  CHECK(believed > 1500);
}

TEST_CASE("json, canonical: a string takes every byte for what it is wherever it stands") {
  for (int byte = 0; byte < 256; ++byte)
    for (std::size_t place = 0; place < 20; ++place) {
      std::string inside(20, 'x');
      inside[place] = static_cast<char>(byte);
      const std::string text = '"' + inside + "\" and on";
      const char *at = text.data(), *const end = at + text.size();
      std::string read;
      bool beyond_ascii = false;
      CAPTURE(byte, place);
      const bool taken = take_string(at, end, read, beyond_ascii);
      CHECK(beyond_ascii == (byte >= 0x80));
      if (byte == '"') {
        CHECK((taken && read == inside.substr(0, place)));
        CHECK(at == text.data() + place + 2);
      } else if (byte == '\\' || byte < 0x20) {
        // A backslash before an x is no escape, and before the closing mark hides the end.
        CHECK_FALSE(taken);
      } else {
        CHECK((taken && read == inside));
        CHECK(at == end - std::string_view(" and on").size());
      }
    }
}
