#include "domain/json.h"

#include <catch2/catch.hpp>
#include <stdexcept>

#include "refusal.h"

using namespace trencher;

namespace {

std::string refused(std::string_view text) {
  return refusal([&] { Json::parse(text); });
}

}  // namespace

// RFC 8785 section 3.2.3: names are sorted by UTF-16 units, so that the emoji (D83D DE00) comes
// before U+FB33, where by code point it would come after. The figures in the values are the RFC's.
TEST_CASE("json: canonical names follow the order that RFC 8785 prints") {
  const Json json = Json::parse(R"({
    "\u20ac": "Euro Sign",
    "\r": "Carriage Return",
    "\ufb33": "Hebrew Letter Dalet With Dagesh",
    "1": "One",
    "\ud83d\ude00": "Emoji: Grinning Face",
    "\u0080": "Control",
    "\u00f6": "Latin Small Letter O With Diaeresis"
  })");
  CHECK(json.canonical() ==
        "{\"\\r\":\"Carriage Return\",\"1\":\"One\",\"\xC2\x80\":\"Control\","
        "\"ö\":\"Latin Small Letter O With Diaeresis\",\"€\":\"Euro Sign\","
        "\"\xF0\x9F\x98\x80\":\"Emoji: Grinning Face\","
        "\"\xEF\xAC\xB3\":\"Hebrew Letter Dalet With Dagesh\"}");
}

// RFC 8785 section 3.2.2 and 3.2.4, the sample without its fractions.
TEST_CASE("json: canonical text and literals are escaped as RFC 8785 prints") {
  const Json json = Json::parse(R"({
    "string": "\u20ac$\u000F\u000aA'\u0042\u0022\u005c\\\"\/",
    "literals": [null, true, false]
  })");
  CHECK(json.canonical() == R"({"literals":[null,true,false],"string":"€$\u000f\nA'B\"\\\\\"/"})");
}

TEST_CASE("json: every control character is escaped in the shortest way") {
  std::string all;
  for (char c = 0; c < 0x20; ++c) all += c;
  all += "\x7F/";
  CHECK(
      Json(all).canonical() ==
      "\"\\u0000\\u0001\\u0002\\u0003\\u0004\\u0005\\u0006\\u0007\\b\\t\\n\\u000b\\f\\r\\u000e\\u00"
      "0f"
      "\\u0010\\u0011\\u0012\\u0013\\u0014\\u0015\\u0016\\u0017\\u0018\\u0019\\u001a\\u001b\\u001c"
      "\\u001d\\u001e\\u001f\x7F/\"");
  CHECK(Json::parse(Json(all).canonical()).as_text() == all);
}

TEST_CASE("json: canonical sorts at every depth and text keeps the order set") {
  Json inner = Json::object();
  inner.set("z", 1).set("a", -2);
  Json list = Json::array();
  list.push(inner).push("x").push(Json());
  Json json = Json::object();
  json.set("later", list).set("empty", Json::object()).set("none", Json::array()).set("b", true);
  CHECK(json.canonical() == R"({"b":true,"empty":{},"later":[{"a":-2,"z":1},"x",null],"none":[]})");
  CHECK(json.text() == R"({"later":[{"z":1,"a":-2},"x",null],"empty":{},"none":[],"b":true})");
  CHECK(json.pretty() == R"({
  "later": [
    {
      "z": 1,
      "a": -2
    },
    "x",
    null
  ],
  "empty": {},
  "none": [],
  "b": true
})");
}

TEST_CASE("json: canonical bytes read back to the same bytes") {
  const std::string canonical = R"({"a":[1,{"b":"é\n"}],"c":-9007199254740991,"d":false})";
  CHECK(Json::parse(canonical).canonical() == canonical);
}

TEST_CASE("json: canonical takes whole numbers to 2 to the 53 less 1 only") {
  const std::int64_t most = 9007199254740991;
  CHECK(Json(most).canonical() == "9007199254740991");
  CHECK(Json(-most).canonical() == "-9007199254740991");
  CHECK(Json::parse("-0").canonical() == "0");
  CHECK_THROWS_AS(Json(most + 1).canonical(), std::logic_error);
  CHECK_THROWS_AS(Json(-most - 1).canonical(), std::logic_error);
  CHECK_THROWS_AS(Json::decimal(1.5, 1).canonical(), std::logic_error);
}

TEST_CASE("json: decimals print with at most their digits") {
  CHECK(Json::decimal(12.0, 1).text() == "12");
  CHECK(Json::decimal(12.34, 1).text() == "12.3");
  CHECK(Json::decimal(12.50, 2).text() == "12.5");
  CHECK(Json::decimal(100, 0).text() == "100");
  CHECK(Json::decimal(-0.04, 1).text() == "0");
  CHECK(Json::decimal(-0.06, 1).text() == "-0.1");
  CHECK(Json::parse("[1.5,2]", true).text() == "[1.5,2]");
  CHECK(Json::parse("12.25", true) == Json::decimal(12.25, 2));
}

TEST_CASE("json: fractions and huge numbers are refused") {
  for (const auto* text : {"1.5", "[1.0]", "{\"a\":1e3}", "18446744073709551615"}) {
    CAPTURE(text);
    CHECK(refused(text) ==
          "request: The JSON holds a number that is not whole, where none may stand.");
  }
}

TEST_CASE("json: a name given twice in one object is refused") {
  CHECK(refused(R"({"a":1,"a":1})") == "request: The JSON names 'a' twice in one object.");
  CHECK(refused(R"({"a":1,"b":2,"\u0061":3})") ==
        "request: The JSON names 'a' twice in one object.");
  CHECK(refused(R"({"a":null,"a":1})") == "request: The JSON names 'a' twice in one object.");
  CHECK(refused(R"([{"x":{"a":1,"a":2}}])") == "request: The JSON names 'a' twice in one object.");
  CHECK(Json::parse(R"({"a":{"a":1},"b":{"a":1}})").text() == R"({"a":{"a":1},"b":{"a":1}})");
}

TEST_CASE("json: what is not JSON is refused") {
  for (const auto* text :
       {"", " ", "{", "[1,]", "{\"a\"}", "nul", "'a'", "1 2", "01", "+1", "\"\t\"", "\"\\x\"",
        "\"\xFF\"", "\"\\ud800\"", "NaN", "{\"a\":1,}", "// x\n1"}) {
    CAPTURE(text);
    CHECK(refused(text).starts_with("request: That is not JSON: "));
  }
  CHECK(refused(std::string(5000, '[')).starts_with("request: That is not JSON: "));
}

TEST_CASE("json: a member that is null is left out and one set again is replaced") {
  Json json = Json::object();
  json.set("a", 1).set("b", std::optional<int>()).set("c", std::optional<int>(3)).set("a", 2);
  CHECK(json.text() == R"({"a":2,"c":3})");
  json.set("a", Json());
  CHECK(json.text() == R"({"c":3})");
  CHECK(Json::parse(R"({"a":null,"b":1})").text() == R"({"b":1})");
}

TEST_CASE("json: members are read by their type") {
  const Json json =
      Json::parse(R"({"t":"x","i":-7,"f":true,"no":false,"ts":["a","b"],"is":[1,2],"o":{}})");
  CHECK(json.text("t") == "x");
  CHECK(json.integer("i") == -7);
  CHECK(json.flag("f"));
  CHECK_FALSE(json.flag("no"));
  CHECK_FALSE(json.flag("absent"));
  CHECK(json.texts("ts") == std::vector<std::string>{"a", "b"});
  CHECK(json.texts("absent").empty());
  CHECK(json.integers("is") == std::vector<std::int64_t>{1, 2});
  CHECK(json.integers("absent").empty());
  CHECK(json.maybe_text("t") == "x");
  CHECK_FALSE(json.maybe_text("absent").has_value());
  CHECK(json.maybe_integer("i") == -7);
  CHECK_FALSE(json.maybe_integer("absent").has_value());
  CHECK(json.at("o").is_object());
  CHECK(json.find("absent") == nullptr);
  CHECK(Json(1).find("a") == nullptr);
  CHECK(json.members().size() == 7);
  CHECK(json.at("ts").items().size() == 2);
  CHECK(json.at("f").as_boolean());
  CHECK(json.at("i").as_integer() == -7);
  CHECK(json.at("t").as_text() == "x");
}

TEST_CASE("json: a member that is absent or of another type names itself") {
  const Json json = Json::parse(R"({"t":"x","i":1,"mixed":["a",1]})");
  const auto sentence = [](const std::string& want, const std::string& name) {
    return "book: An entry of the book has no " + want + " called '" + name +
           "': the book is damaged or not Trencher's.";
  };
  CHECK(refusal([&] { json.text("i"); }) == sentence("text", "i"));
  CHECK(refusal([&] { json.text("absent"); }) == sentence("member", "absent"));
  CHECK(refusal([&] { json.integer("t"); }) == sentence("whole number", "t"));
  CHECK(refusal([&] { json.maybe_text("i"); }) == sentence("text", "i"));
  CHECK(refusal([&] { json.maybe_integer("t"); }) == sentence("whole number", "t"));
  CHECK(refusal([&] { json.flag("t"); }) == sentence("yes or no", "t"));
  CHECK(refusal([&] { json.texts("t"); }) == sentence("list", "t"));
  CHECK(refusal([&] { json.texts("mixed"); }) == sentence("list of text", "mixed"));
  CHECK(refusal([&] { json.integers("i"); }) == sentence("list", "i"));
  CHECK(refusal([&] { json.integers("mixed"); }) == sentence("list of whole numbers", "mixed"));
}

TEST_CASE("json: values know their type") {
  CHECK(Json().is_null());
  CHECK(Json(true).is_boolean());
  CHECK(Json(1).is_integer());
  CHECK(Json("x").is_text());
  CHECK(Json::array().is_array());
  CHECK(Json::object().is_object());
  CHECK_FALSE(Json("x").is_integer());
  CHECK(Json(std::optional<std::string>()).is_null());
  CHECK(Json::list(std::vector<int>{1, 2}).text() == "[1,2]");
  CHECK(Json(std::size_t{3}) == Json(3));
}
