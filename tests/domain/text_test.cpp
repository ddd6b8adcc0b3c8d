#include "domain/text.h"

#include <catch2/catch.hpp>

#include "refusal.h"

using namespace trencher;

namespace {

std::string refused(std::string_view value) {
  return refusal([&] { checked_text(value, "Name"); });
}

std::string utf8(char32_t c) {
  const auto part = [&](int shift) { return static_cast<char>(0x80 | ((c >> shift) & 0x3F)); };
  if (c < 0x80) return {static_cast<char>(c)};
  if (c < 0x800) return {static_cast<char>(0xC0 | (c >> 6)), part(0)};
  if (c < 0x10000) return {static_cast<char>(0xE0 | (c >> 12)), part(6), part(0)};
  return {static_cast<char>(0xF0 | (c >> 18)), part(12), part(6), part(0)};
}

}  // namespace

TEST_CASE("error: a sentence that quotes a NUL is whole") {
  const std::string sentence("'a\0b' is none.", 14);
  CHECK(std::string(Error::book(sentence).what()) == "'a?b' is none.");
}

TEST_CASE("text: ordinary text of any language passes and loses the blanks at its ends") {
  CHECK(checked_text("  two words ", "Name") == "two words");
  CHECK(checked_text("a  b", "Name") == "a  b");
  for (const std::string text :
       {"Ö", "naïve – “quoted” 7/8″", "木のまな板", "дъска", "🪵", "x", "~", " "})
    CHECK(checked_text("." + text, "Name") == (text == " " ? "." : "." + text));
}

// The malformed sequences are of the kinds that Unicode 3.9 table 3-7 excludes.
TEST_CASE("text: what is not UTF-8 is refused") {
  for (const std::string text :
       {"caf\xE9", "\x80", "\xC3", "\xE2\x82", "\xC0\xAF", "\xE0\x80\xAF", "\xED\xA0\x80",
        "\xF4\x90\x80\x80", "\xF8\x88\x80\x80\x80", "\xFF"}) {
    CHECK_FALSE(is_utf8(text));
    CHECK(refused(text).starts_with("request: Name is not valid UTF-8 text: '"));
    CHECK(is_utf8(refused(text)));
  }
  CHECK(is_utf8("\xF4\x8F\xBF\xBF"));
  CHECK(is_utf8(""));
}

TEST_CASE("text: every control character is refused by its number") {
  std::vector<char32_t> controls{0x7F, 0x2028, 0x2029};
  for (char32_t c = 0; c < 0x20; ++c) controls.push_back(c);
  for (char32_t c = 0x80; c < 0xA0; ++c) controls.push_back(c);
  for (const char32_t c : controls) {
    char number[8];
    std::snprintf(number, sizeof number, "%04X", static_cast<unsigned>(c));
    CHECK(refused("a" + utf8(c) + "b") == "request: Name holds the control character U+" +
                                              std::string(number) +
                                              " in 'a\uFFFDb'; plain text on one line is needed.");
  }
  CHECK(checked_text("a" + utf8(0xA0) + "b", "Name").size() == 4);
}

// Unicode Standard Annex 9 section 2 lists the twelve: three implicit marks and nine explicit ones.
TEST_CASE("text: every mark that changes the direction of reading is refused") {
  for (const char32_t c : {0x061C, 0x200E, 0x200F, 0x202A, 0x202B, 0x202C, 0x202D, 0x202E, 0x2066,
                           0x2067, 0x2068, 0x2069}) {
    CAPTURE(static_cast<unsigned>(c));
    CHECK(refused("a" + utf8(c)).starts_with("request: Name holds the direction mark U+"));
  }
  for (const char32_t c :
       {0x061B, 0x061D, 0x200D, 0x2010, 0x2027, 0x202F, 0x2070, 0xFEFE, 0xFF01}) {
    CAPTURE(static_cast<unsigned>(c));
    CHECK(refused("a" + utf8(c)) == "nothing was refused");
  }
}

TEST_CASE("text: empty and overlong text is refused") {
  CHECK(refused("") == "request: Name is empty; it must say something.");
  CHECK(refused("   ") == "request: Name is empty; it must say something.");
  CHECK(checked_text(std::string(2000, 'x'), "Name").size() == 2000);
  CHECK(refused(std::string(2001, 'x')) == "request: Name is 2001 bytes long and begins '" +
                                               std::string(60, 'x') + "…'; at most 2000 fit.");
  CHECK(checked_text(std::string(longest_name, 'x'), "Name", longest_name).size() == longest_name);
  CHECK(refusal([] {
          checked_text(std::string(longest_name + 1, 'x'), "Name", longest_name);
        }).ends_with("at most 300 fit."));
  for (const char32_t blank : {0xA0, 0x2003, 0x200D, 0x2800, 0x3000})
    CHECK(refused(" " + utf8(blank)) == "request: Name is empty; it must say something.");
}

TEST_CASE("text: parts are split and joined") {
  using Parts = std::vector<std::string>;
  CHECK(split("a, b ,c", ',') == Parts{"a", "b", "c"});
  CHECK(split("", ',') == Parts{""});
  CHECK(split(",", ',') == Parts{"", ""});
  CHECK(join({"a", "b"}, "; ") == "a; b");
  CHECK(join({}, "; ").empty());
  CHECK(join_words({}).empty());
  CHECK(join_words({"oak"}) == "oak");
  CHECK(join_words({"oak", "ash"}) == "oak and ash");
  CHECK(join_words({"oak", "ash", "elm"}, "or") == "oak, ash or elm");
  CHECK(count_of(1, "coat") == "1 coat");
  CHECK(count_of(0, "coat") == "0 coats");
  CHECK(count_of(3, "coat") == "3 coats");
  CHECK(count_of(2, "batch", "batches") == "2 batches");
  CHECK(count_of(1, "batch", "batches") == "1 batch");
  CHECK(lower_ascii("AZaz@[Ö") == "azaz@[Ö");
}

TEST_CASE("text: UTF-16 has pairs beyond the first plane") {
  CHECK(to_utf16("aé€") == u"aé€");
  CHECK(to_utf16("\xF0\x9F\x98\x80") == u"\xD83D\xDE00");
}

// By Unicode Standard Annex 11: wide letters take two columns, combining marks none.
TEST_CASE("text: the width on a terminal follows Unicode") {
  CHECK(display_width("") == 0);
  CHECK(display_width("abc") == 3);
  CHECK(display_width("é") == 1);
  CHECK(display_width("e\xCC\x81") == 1);
  CHECK(display_width("木の板") == 6);
  CHECK(display_width("한") == 2);
  CHECK(display_width("ａ") == 2);
  CHECK(display_width("🪵") == 2);
  CHECK(display_width("°µ½–") == 4);
}

TEST_CASE("text: each range of wide letters and of combining marks ends where Unicode ends it") {
  struct Range {
    char32_t first, last;
    std::size_t width;
  };
  // Blocks of combining marks, variation selectors and zero-width characters; then the wide ranges.
  for (const auto& [first, last, width] :
       {Range{0x300, 0x36F, 0}, Range{0x1AB0, 0x1AFF, 0}, Range{0x20D0, 0x20FF, 0},
        Range{0xFE00, 0xFE0F, 0}, Range{0x200B, 0x200D, 0}, Range{0x1100, 0x115F, 2},
        Range{0x2E80, 0xA4CF, 2}, Range{0xAC00, 0xD7A3, 2}, Range{0xF900, 0xFAFF, 2},
        Range{0xFE30, 0xFE6F, 2}, Range{0xFF00, 0xFF60, 2}, Range{0xFFE0, 0xFFE6, 2},
        Range{0x1F300, 0x1FAFF, 2}, Range{0x20000, 0x3FFFD, 2}}) {
    CAPTURE(static_cast<unsigned>(first));
    CHECK(display_width(utf8(first)) == width);
    CHECK(display_width(utf8(last)) == width);
    CHECK(display_width(utf8(first - 1)) == 1);
    CHECK(display_width(utf8(last + 1)) == 1);
  }
}

TEST_CASE("text: lines break at blanks within their width") {
  using Lines = std::vector<std::string>;
  CHECK(wrap("one two three", 7) == Lines{"one two", "three"});
  CHECK(wrap("one two three", 6) == Lines{"one", "two", "three"});
  CHECK(wrap("one two three", 13) == Lines{"one two three"});
  CHECK(wrap("a overlong-word b", 5) == Lines{"a", "overlong-word", "b"});
  CHECK(wrap("  a   b  ", 10) == Lines{"a b"});
  CHECK(wrap("", 10) == Lines{""});
  CHECK(wrap("木の板 木の板", 12) == Lines{"木の板", "木の板"});
  CHECK(wrap("木の板 木の板", 13) == Lines{"木の板 木の板"});
}

// kitten to sitting (3) is the usual example of Levenshtein's distance; a swap of neighbours counts
// one by Damerau, and ca to abc is 3 where no part is edited twice.
TEST_CASE("text: the edit distance counts inserts and deletes and replacements and swaps") {
  CHECK(edit_distance("kitten", "sitting") == 3);
  CHECK(edit_distance("ca", "abc") == 3);
  CHECK(edit_distance("", "abc") == 3);
  CHECK(edit_distance("abc", "") == 3);
  CHECK(edit_distance("abc", "abc") == 0);
  CHECK(edit_distance("oka", "oak") == 1);
  CHECK(edit_distance("maple", "mapel") == 1);
}

TEST_CASE("text: near matches come nearest first and at most three") {
  const std::vector<std::string> woods{"hard-maple", "soft-maple", "beech",
                                       "birch",      "walnut",     "Oak"};
  using Near = std::vector<std::string>;
  CHECK(near_matches("hard-mapel", woods) == Near{"hard-maple"});
  CHECK(near_matches("maple", woods) == Near{"hard-maple", "soft-maple"});  // a part of the name
  CHECK(near_matches("ple", woods) == Near{"hard-maple", "soft-maple"});
  CHECK(near_matches("le", woods).empty());
  CHECK(near_matches("nuts", {"walnut", "tree-nut", "cola-nut", "tree-oak"}) ==
        Near{"tree-nut", "cola-nut"});  // a word of the name, in the order given
  CHECK(near_matches("brch", woods) == Near{"birch"});
  CHECK(near_matches("OAK", woods) == Near{"Oak"});
  CHECK(near_matches("zebrawood", woods).empty());
  CHECK(near_matches("aaaa", {"aaab", "aaac", "aaad", "aaaa"}) == Near{"aaaa", "aaab", "aaac"});
  CHECK(suggestion("maple", woods) == " Did you mean 'hard-maple' or 'soft-maple'?");
  CHECK(suggestion("zebrawood", woods).empty());
}

// FIPS 180-4: the one-block and two-block examples and the long message of NIST's example values.
TEST_CASE("text: SHA-256 gives the published digests") {
  CHECK(sha256_hex("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
  CHECK(sha256_hex("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq") ==
        "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
  CHECK(sha256_hex("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
  CHECK(sha256_hex(std::string(1'000'000, 'a')) ==
        "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}

// RFC 4648 section 10.
TEST_CASE("text: base 64 gives the published pairs both ways") {
  for (const auto& [plain, coded] :
       std::vector<std::pair<std::string, std::string>>{{"", ""},
                                                        {"f", "Zg=="},
                                                        {"fo", "Zm8="},
                                                        {"foo", "Zm9v"},
                                                        {"foob", "Zm9vYg=="},
                                                        {"fooba", "Zm9vYmE="},
                                                        {"foobar", "Zm9vYmFy"}}) {
    CHECK(to_base64(plain) == coded);
    CHECK(from_base64(coded) == plain);
  }
  CHECK(from_base64(to_base64(std::string("\0\xFF\x80", 3))) == std::string("\0\xFF\x80", 3));
  // Section 3.3 to 3.5: no foreign characters, padding needed, unused bits are zero.
  for (const auto* text : {"Zg", "Zg=", "Z", "Zm9v!", "Zm9vYg==Zg==", "Zh==", "Zm 9v", "Zm9v\n"}) {
    CAPTURE(text);
    CHECK(refusal([&] { from_base64(text); }) ==
          "book: The file holds text that is not base 64 where it should be.");
  }
}

// RFC 4648 section 10 has base 16 in capitals; the book writes small letters and reads both.
TEST_CASE("text: hexadecimal is written small and read either way") {
  CHECK(to_hex("foobar") == "666f6f626172");
  CHECK(from_hex("666F6F626172") == "foobar");
  CHECK(from_hex("666f6f626172") == "foobar");
  CHECK(from_hex("") == "");
  for (const auto* text : {"6", "6g", "66 6f", "666", "0x66", "66\n"}) {
    CAPTURE(text);
    CHECK(refusal([&] { from_hex(text); }) ==
          "book: The file holds text that is not hexadecimal where it should be.");
  }
}
