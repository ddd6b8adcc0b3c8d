#include "paper/stall_sheet.h"

#include <catch2/catch.hpp>

#include "domain/error.h"
#include "letter_samples.h"
#include "paper/language.h"
#include "paper/phrases.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Contains;

namespace {

constexpr double points = 72 / 25.4;

StallSheetContent sample(const std::string& language, int rows) {
  StallSheetContent out;
  out.language = language;
  out.event = "Eastwold market";
  out.day = Language(language).long_date(*day_from_iso("2026-12-05"));
  out.maker = "Old Mill Boards";
  out.contact = "boards@oldmill.example";
  for (int i = 1; i <= rows; ++i)
    out.rows.push_back({"26-014-" + std::string(i < 10 ? "0" : "") + std::to_string(i) + "-24",
                        "Cutting board, 400 × 250 × 22 mm, hard maple, black walnut"});
  return out;
}

struct Printed {
  std::string text;
  int pages = 0;
  std::vector<Word> words;
};

Printed printed(const StallSheetContent& content, Size sheet = a4) {
  const Folder folder;
  const auto path = folder / "sheet.pdf";
  write_stall_sheet(content, {sheet, {}}, path);
  check_sound(path);
  CHECK(collisions(path, sheet.width * points, sheet.height * points) == "");
  return {blanks(text_of(path)), pages_of(path), words_of(path)};
}

}  // namespace

TEST_CASE("a sheet for the stall says why a contact is asked, and what happens without") {
  for (const std::string& language : languages())
    for (const Size sheet : {a4, letter}) {
      const Words words("stall-sheet", language);
      const StallSheetContent content = sample(language, 3);
      const std::string text = printed(content, sheet).text;
      INFO(language << ": " << text);
      for (const char* part : {"title", "why", "without", "code", "holds-names"})
        CHECK_THAT(text, Contains(blanks(words(part))));
      CHECK_THAT(text, Contains("Eastwold market"));
      CHECK_THAT(text, Contains(content.day));
      CHECK_THAT(text, Contains("Old Mill Boards, boards@oldmill.example"));
      CHECK_THAT(text, Contains("26-014-01-24"));
    }
}

TEST_CASE("a sheet of many pieces has many pages, each piece once, the headings on each") {
  const Printed out = printed(sample("en", 60));
  CHECK(out.pages > 3);
  std::map<std::string, int> codes;
  int heads = 0;
  for (const Word& word : out.words) {
    if (word.text.starts_with("26-014-")) ++codes[word.text];
    heads += word.text == "Piece";
  }
  CHECK(codes.size() == 60);
  for (const auto& [code, times] : codes) CHECK(times == 1);
  CHECK(heads == out.pages);
  CHECK_THAT(out.text, Contains("Page 1 of " + std::to_string(out.pages)));
}

TEST_CASE("a piece's code is large enough to read at arm's length") {
  for (const Word& word : printed(sample("en", 2)).words)
    if (word.text.starts_with("26-014-")) CHECK(word.bottom - word.top >= 13);
}

TEST_CASE("long texts on a sheet are never cut") {
  StallSheetContent content = sample("de", 2);
  content.event =
      "Adventsmarkt der Vereinigten Handwerksbetriebe am Alten Hafen von Eastwold an der "
      "Unteren Brücke, Halle 7, Stand 114 beim großen Tor neben dem Brunnen";
  content.rows[0].what =
      "Schneidebrett, 1200 × 800 × 60 mm, Zuckerahorn, Schwarznuss, Kirsche, Hainbuche, "
      "Sapelli, Esche, Olive, Birne, Pflaume, Robinie und weiteres Holz von der Unteren Brücke";
  content.rows[1].code = "26-12345-999-24";
  const std::string text = printed(content).text;
  CHECK_THAT(text, Contains(content.event));
  CHECK_THAT(text, Contains(content.rows[0].what));
  CHECK_THAT(text, Contains("26-12345-999-24"));
}

TEST_CASE("without event and day there are lines for them") {
  StallSheetContent content = sample("fr", 1);
  content.event.clear();
  content.day.clear();
  const std::string text = printed(content).text;
  CHECK_THAT(text, Contains("Lieu :"));
  CHECK_THAT(text, Contains("Jour :"));
}

TEST_CASE("a sheet of no piece is refused") {
  const Folder folder;
  CHECK_THROWS_AS(write_stall_sheet(sample("en", 0), {}, folder / "s.pdf"), Error);
  CHECK(folder.names().empty());
}
