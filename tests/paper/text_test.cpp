#include "paper/text.h"

#include <catch2/catch.hpp>
#include <random>

#include "domain/error.h"
#include "domain/text.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Matchers::Message;
using Lines = std::vector<std::string>;

namespace {

constexpr Font type{Face::regular, 10};

Document blank() { return {a4, "test", std::chrono::sys_seconds{}}; }

// Wide enough for exactly that text.
Lines broken_at(const std::string& text, const std::string& longest_line) {
  const Document document = blank();
  return break_lines(document, text, type, document.width(longest_line, type));
}

}  // namespace

TEST_CASE("A line takes as many words as its measured width holds") {
  const std::string text = "Wash after each use and let it dry well at once";
  CHECK(broken_at(text, "Wash after each use") ==
        Lines{"Wash after each use", "and let it dry well", "at once"});
  CHECK(broken_at(text, text) == Lines{text});
}

TEST_CASE("A hair less than a word's width moves the word down") {
  const Document document = blank();
  const double exact = document.width("oil and wax", type);
  CHECK(break_lines(document, "oil and wax on maple", type, exact) ==
        Lines{"oil and wax", "on maple"});
  CHECK(break_lines(document, "oil and wax on maple", type, exact - 0.01) ==
        Lines{"oil and", "wax on", "maple"});
}

TEST_CASE("A lonely last word takes the word before it along") {
  CHECK(broken_at("have it resurfaced and refinished", "have it resurfaced and") ==
        Lines{"have it resurfaced", "and refinished"});
}

TEST_CASE("A lonely last word stays alone where the line above would be left with one word") {
  CHECK(broken_at("beeswax oil maple", "beeswax oil") == Lines{"beeswax oil", "maple"});
}

TEST_CASE("Blanks at the ends and between words count once") {
  CHECK(broken_at("  oil   and  wax ", "oil and wax") == Lines{"oil and wax"});
  CHECK(broken_at("", "x").empty());
  CHECK(broken_at("   ", "x").empty());
}

TEST_CASE("A date and a lot with its number stay on one line where there is room") {
  CHECK(broken_at("good until 3 Nov 2026, or later", "good until 3 Nov") ==
        Lines{"good until", "3 Nov 2026,", "or later"});
  CHECK(broken_at("parti le 1er décembre 2026 de Lyon", "parti le 1er décembre") ==
        Lines{"parti le", "1er décembre 2026", "de Lyon"});
  CHECK(broken_at("am (5. Dezember 2026) fertig geölt", "am (5. Dezember 202") ==
        Lines{"am", "(5. Dezember 2026)", "fertig geölt"});
  CHECK(broken_at("salió el 5 de diciembre de 2026", "5 de diciembre de 2026") ==
        Lines{"salió el", "5 de diciembre de 2026"});
  CHECK(broken_at("from Mill & Co, lot 77 of oil", "from Mill & Co, lot") ==
        Lines{"from Mill & Co,", "lot 77 of oil"});
  CHECK(broken_at("from Mill & Co, lot 2025-03", "from Mill & Co, lot") ==
        Lines{"from Mill & Co,", "lot 2025-03"});
  CHECK(broken_at("23 September 2027", "23 September") == Lines{"23 September", "2027"});
  CHECK(broken_at("oil of 3 May", "oil of 3") == Lines{"oil of", "3 May"});
  CHECK(broken_at("sent on the 3 Nov now", "sent on the 3 Nov") ==
        Lines{"sent on the 3 Nov", "now"});
}

TEST_CASE("A no-break space and a hyphen hold a line together") {
  CHECK(broken_at("dry by 5\u00A0May or later", "dry by 5\u00A0M") ==
        Lines{"dry by", "5\u00A0May or", "later"});
  CHECK(broken_at("piece 26-014-03-24 is", "26-014-03-") == Lines{"piece", "26-014-03-", "24 is"});
}

TEST_CASE("Only a word wider than a whole line is split and then between characters") {
  CHECK(broken_at("see éééééé", "ééé") == Lines{"see", "ééé", "ééé"});
}

TEST_CASE("A column narrower than one character gives it a line of its own") {
  const Document document = blank();
  CHECK(break_lines(document, "ab", type, 0.1) == Lines{"a", "b"});
}

TEST_CASE("No broken line is wider than asked and no character is lost") {
  std::mt19937 random(20261205);
  const Document document = blank();
  for (int round = 0; round < 200; ++round) {
    std::string text;
    for (unsigned word = random() % 30; word > 0; --word) {
      for (unsigned sign = 1 + random() % 14; sign > 0; --sign)
        text += static_cast<char>('a' + random() % 26);
      text += ' ';
    }
    const double width = 8 + static_cast<double>(random() % 60);
    std::string kept;
    for (const std::string& line : break_lines(document, text, type, width)) {
      CHECK(document.width(line, type) <= width + 1e-6);
      kept += line;
    }
    std::erase(kept, ' ');
    std::erase(text, ' ');
    CHECK(kept == text);
  }
}

TEST_CASE("A text too wide for its one line is refused with the excess") {
  Document document = blank();
  document.add_page();
  const double room = document.width("Ash & Bowl", type) - 2;
  CHECK_THROWS_MATCHES(
      draw_fitting(document, {10, 10}, "Ash & Bowl", type, room, "The maker's name"), Error,
      Message("The maker's name does not fit: it is 2.0 mm too wide. Nothing is cut off, "
              "so shorten it."));
}
