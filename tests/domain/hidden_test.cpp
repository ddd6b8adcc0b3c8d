#include <array>
#include <catch2/catch.hpp>
#include <cstdio>
#include <map>
#include <memory>

#include "domain/text.h"
#include "refusal.h"

using namespace trencher;

namespace {

// Accepted as it is, and shown as it is.
bool stands(const std::string& text) {
  return refusal([&] { checked_text(text, "Name"); }) == "nothing was refused" &&
         shown(text) == text;
}

// Refused, and shown otherwise.
bool is_hostile(const std::string& text) {
  return refusal([&] { checked_text(text, "Name"); }) != "nothing was refused" &&
         shown(text) != text;
}

}  // namespace

// Perl's tables are Unicode's: White_Space, General_Category Cc Zl Zp, Noncharacter_Code_Point,
// Default_Ignorable_Code_Point. Of the last the joiners and the selectors of variants stay.
TEST_CASE("hidden: as many characters of each kind as Perl's tables of Unicode have") {
  const std::unique_ptr<std::FILE, int (*)(std::FILE*)> perl(
      popen("perl -e 'no warnings; for my $c (0..0x10FFFF) { next if $c >= 0xD800 && $c <= 0xDFFF;"
            " my $s = chr($c); next if $c == 0x200C || $c == 0x200D;"
            " next if $s =~ /\\p{Variation_Selector}/;"
            " print \"$c\\n\" if $s =~ /\\p{Cc}|\\p{Zl}|\\p{Zp}|\\p{NChar}|\\p{DI}/ }'",
            "r"),
      &pclose);
  REQUIRE(perl);
  std::map<std::uint32_t, bool> hidden;
  for (unsigned c = 0; std::fscanf(perl.get(), "%u", &c) == 1;) hidden[c] = true;
  REQUIRE(hidden.size() > 4000);
  for (std::uint32_t c = 0; c <= 0x10FFFF; ++c) {
    if (c >= 0xD800 && c <= 0xDFFF) continue;
    if (is_hidden(c) != hidden.contains(c)) FAIL_CHECK("U+" << std::hex << c);
  }
}

TEST_CASE("hidden: real names and notes stand as they are") {
  for (const std::string text : {"Zoë Sjöström",
                                 "Siobhán O'Brien",
                                 "D’Arcy",
                                 "=Ada",
                                 "-Bo",
                                 "+44 20 7946 0000",
                                 "@studio",
                                 "עץ זית",
                                 "خشب الزيتون",
                                 "می\u200Cخواهم",
                                 "क्\u200Dष",
                                 "木のまな板",
                                 "葛\U000E0100城",
                                 "🪵 oiled",
                                 "❤️\u200D🔥",
                                 "👩🏽\u200D🔧",
                                 "1\uFE0F\u20E3",
                                 "{{maker}}",
                                 "'; DROP TABLE entry; --",
                                 "../up",
                                 "a; b, c: \"d\"",
                                 "x\u0301",
                                 "\uFFFD",
                                 "\uE000"})
    if (!stands(text)) FAIL_CHECK(text);
}

TEST_CASE("hidden: what steers or hides is refused and shown as a sign") {
  for (const std::string text : {"a\x1b[31mred",
                                 ("a\xC2\x9B"
                                  "31m"),
                                 "a\x1b]0;title\x07",
                                 "a\rb",
                                 "a\nb",
                                 "a\tb",
                                 "a\x7F",
                                 "a\u202Eb",
                                 "a\u2066b",
                                 "a\u200Bb",
                                 "a\uFEFF",
                                 "a\u2060",
                                 "a\u00ADb",
                                 "a\u3164",
                                 "a\U000E0041",
                                 "🏴\U000E0067",
                                 "a\uFDD0",
                                 "a\xEF\xBF\xBF",
                                 "\u200Da",
                                 "a\u200D\u200Db",
                                 "a\uFE0F\uFE0Eb",
                                 "a\u200C\uFE0Fb",
                                 "caf\xE9",
                                 "\xC0\xAF",
                                 "\xED\xA0\x80",
                                 "\xF4\x90\x80\x80",
                                 "cut \xE2\x82"}) {
    if (!is_hostile(text)) FAIL_CHECK(text);
    CHECK(is_utf8(shown(text)));
    CHECK(shown(shown(text)) == shown(text));
  }
  CHECK(shown(std::string_view("a\0b", 3)) == "a\uFFFDb");
  CHECK(shown("x\x1b[2Jy") == "x\uFFFD[2Jy");
  CHECK(shown("a\xED\xA0\x80z") == "a\uFFFDz");
}

TEST_CASE("hidden: an overlong text is cut between characters and says its length") {
  CHECK(shown(std::string(20000, 'x')) == std::string(20000, 'x'));
  CHECK(shown(std::string(20001, 'x')) == std::string(20000, 'x') + "… (20001 bytes in all)");
  CHECK(shown("éé", 3) == "é… (4 bytes in all)");
  CHECK(brief(std::string(61, 'x')) == std::string(60, 'x') + "…");
  const std::string sentence =
      shown_sentence("The value '" + std::string(130000, 'x') + "' is bad.");
  CHECK(sentence.size() < 400);
  CHECK(sentence.starts_with("The value 'xxx"));
  CHECK(sentence.ends_with("xxx' is bad."));
  std::string many = "The value '";
  for (int i = 0; i < 50000; ++i) many += "x ";
  CHECK(shown_sentence(many + "' is bad.").size() < 6010);
  CHECK(shown_sentence(many + "' is bad.").ends_with("' is bad."));
  CHECK(shown_sentence("a\nb \x1b[1m") == "a\uFFFDb \uFFFD[1m");
}
