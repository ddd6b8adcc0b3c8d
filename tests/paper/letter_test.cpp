#include "paper/letter.h"

#include <catch2/catch.hpp>
#include <sstream>

#include "domain/error.h"
#include "domain/text.h"
#include "letter_samples.h"
#include "paper/language.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Contains;

namespace {

std::string printed(const LetterContent& content, Size sheet = a4) {
  const Folder folder;
  write_letter(content, {sheet, {}}, folder / "l.pdf");
  check_sound(folder / "l.pdf");
  constexpr double points = 72 / 25.4;
  CHECK(collisions(folder / "l.pdf", sheet.width * points, sheet.height * points).empty());
  return text_of(folder / "l.pdf");
}

// All words of the e-mail, one blank between, without the marks of the bullets.
std::string flat(const std::string& text) {
  std::istringstream in(text);
  std::string out;
  for (std::string word; in >> word;)
    if (word != "-") out += (out.empty() ? "" : " ") + word;
  return out;
}

LetterContent in_language(const std::string& language) {
  LetterContent out = sample_letter();
  out.language = language;
  return out;
}

}  // namespace

TEST_CASE("the whole e-mail of an invented board") {
  CHECK(letter_text(sample_letter()) == R"(Your question about 26-014-03-24

Hello,

Thank you for asking. We have looked up what our record says of
26-014-03-24.

What it is
Cutting board, 400 × 250 × 22 mm. Wood: hard maple (Acer saccharum) and
black walnut (Juglans nigra). Last coat: 3 December 2026.

Walnut: contained.
- Walnut oil holds walnut by the nature of its kind.

Milk: none recorded. None recorded does not mean free from.
- The ingredient list of Bench glue (water resistant PVA wood glue),
  dated 3 May 2026, is given as complete and does not name milk.

Peanut: not known.
- No paper tells whether Walnut oil holds peanut.

What several of these answers rest on
- What we have written down about our shared rags, brushes and bench
  does not name peanut.

What is not known, and who may know
- A statement on peanut, or a complete ingredient list, of Walnut oil:
  its supplier, Mill & Co, may have it.

Until then please take it as not known. We are glad to ask for you.

How the record knows
- Walnut oil came to us from Mill & Co, lot 77: 2 May 2026.
- Begun in our batch 26-014: 1 December 2026.
- Coated with Walnut oil: 2 December 2026 and 3 December 2026.

Please note
- An entry of 2 May 2026 on which this rests was corrected later, on 9
  May 2026; this letter follows the correction.
- The timber is a matter of its own: hard maple (Acer saccharum) and
  black walnut (Juglans nigra). Among it is the wood of a tree of a
  nut’s family. Whether timber matters to an allergy our record cannot
  tell; please ask a doctor.
- Walnut: on each of these lists of food allergens: the United States,
  the European Union.
- A maker’s record is no medical advice; with an allergy please ask a
  doctor.
- Local rules, the label of a product and a doctor’s word come before
  this letter.

If anything is unclear, please ask: boards@oldmill.example.

Kind regards,
Old Mill Boards
4 Mill Lane, Hartwell
boards@oldmill.example

This letter rests on our record as of entry 41 (check value
0123456789abcdef).
)");
}

TEST_CASE("each language says what is contained, what is not known and what none recorded means") {
  const struct {
    const char *language, *greeting, *contained, *none, *unknown, *doctor, *record;
  } rows[] = {
      {"de", "Guten Tag,", "Walnut: enthalten.",
       "Milk: nicht verzeichnet. Nicht verzeichnet heißt nicht frei davon.",
       "Peanut: nicht bekannt.", "ersetzt keinen ärztlichen Rat",
       "bei Eintrag 41 (Prüfwert 0123456789abcdef)"},
      {"fr", "Bonjour,", "Walnut\u00a0: présence enregistrée.",
       "Milk\u00a0: rien d’enregistré. Rien d’enregistré ne veut pas dire absent.",
       "Peanut\u00a0: on ne sait pas.", "n’est pas un avis médical",
       "à l’écriture 41 (empreinte 0123456789abcdef)"},
      {"es", "Buenos días:", "Walnut: consta su presencia.",
       "Milk: no consta. Que no conste no significa que esté libre de ello.", "Peanut: no se sabe.",
       "no es consejo médico", "hasta la anotación 41 (valor de comprobación 0123456789abcdef)"}};
  for (const auto& row : rows) {
    const std::string text = flat(letter_text(in_language(row.language)));
    for (const char* line :
         {row.greeting, row.contained, row.none, row.unknown, row.doctor, row.record})
      CHECK_THAT(text, Contains(line));
  }
}

TEST_CASE("no line of the e-mail is longer than 72 columns and none ends in a blank") {
  for (const std::string& language : languages()) {
    std::istringstream lines(letter_text(in_language(language)));
    for (std::string line; std::getline(lines, line);) {
      CHECK(display_width(line) <= 72);
      CHECK(!line.ends_with(' '));
      CHECK_THAT(line, !Contains("{{") && !Contains("  –"));
    }
  }
}

TEST_CASE("the PDF says what the e-mail says, on both papers") {
  for (const std::string& language : languages())
    for (const Size sheet : {a4, paper::letter}) {
      const LetterContent content = in_language(language);
      const Words words("letter", language);
      const std::string raw = printed(content, sheet);
      CHECK_THAT(raw, Contains("5 December 2026"));
      // Without the bullets, and the foot where it stands between two halves of a sentence.
      std::string text;
      std::istringstream in(blanks(raw));
      for (std::string word; in >> word;)
        if (word != "–") text += (text.empty() ? "" : " ") + word;
      for (const char* number : {"1", "2"})
        if (const std::string foot = words("page", {{"number", number}, {"count", "2"}}) + " ";
            text.find(foot) != std::string::npos)
          text.erase(text.find(foot), foot.size());
      std::istringstream lines(letter_text(content));
      for (std::string line; std::getline(lines, line);)
        if (!line.empty()) CHECK_THAT(text, Contains(blanks(flat(line))));
    }
}

TEST_CASE("none recorded is never said without what it means") {
  for (const std::string& language : languages()) {
    LetterContent content = in_language(language);
    content.groups[0].topics = {{"a", "none-recorded", {}}, {"b", "none-recorded", {}}};
    const std::string text = flat(letter_text(content));
    const Words words("letter", language);
    std::size_t said = 0;
    for (std::size_t at = 0; (at = text.find(words("reservation"), at)) != std::string::npos; ++at)
      ++said;
    CHECK(said == 2);
  }
}

TEST_CASE("boards that differ are told apart") {
  LetterContent content = sample_letter();
  CHECK_THAT(letter_text(content), !Contains("For 26-014"));
  LetterGroup other = content.groups[0];
  other.codes = {"26-014-04-21", "26-014-05-18"};
  other.topics = {{"walnut", "not-known", {}}};
  content.groups.push_back(other);
  const std::string text = letter_text(content);
  CHECK_THAT(text, Contains("Your question about 26-014-03-24, 26-014-04-21 and 26-014-05-18\n"));
  CHECK_THAT(text,
             Contains("For 26-014-03-24:\n") && Contains("For 26-014-04-21 and 26-014-05-18:\n"));
  CHECK(text.find("Walnut: contained.") < text.find("For 26-014-04-21"));
  CHECK(text.find("Walnut: not known.") > text.find("For 26-014-04-21"));
}

TEST_CASE("a letter after a complaint says what was learned and when") {
  LetterContent content = sample_letter();
  content.kind = LetterKind::complaint;
  content.complaint = "a glue line opened";
  content.learned_on = "4 December 2026";
  content.shared = 5;
  std::string text = flat(letter_text(content));
  CHECK_THAT(text, Contains("Your message about 26-014-03-24"));
  CHECK_THAT(text,
             Contains("On 4 December 2026 we learned of this about 26-014-03-24: “a glue line "
                      "opened”."));
  CHECK_THAT(text, Contains("Please do not use it until you have heard from us again"));
  CHECK_THAT(text, Contains("5 other pieces of ours share"));
  content.shared = 1;
  CHECK_THAT(flat(letter_text(content)), Contains("One other piece of ours shares"));
  content.shared = 0;
  text = flat(letter_text(content));
  CHECK_THAT(text, !Contains("other piece") && !Contains("Thank you for asking"));
}

TEST_CASE("what is not recorded of the board is said so") {
  LetterContent content = sample_letter();
  content.woods.clear();
  content.finished_on.clear();
  CHECK_THAT(flat(letter_text(content)),
             Contains("Cutting board, 400 × 250 × 22 mm. The wood is not recorded. No date of a "
                      "last coat is recorded."));
}

TEST_CASE("a long letter goes on overleaf and loses no sentence") {
  LetterContent content = sample_letter();
  for (int i = 0; i < 120; ++i)
    content.groups[0].topics.push_back({"thing" + std::to_string(i),
                                        "not-known",
                                        {{"fitted", {{"part", "part" + std::to_string(i)}}}}});
  const Folder folder;
  write_letter(content, {a4, {}}, folder / "l.pdf");
  const int pages = pages_of(folder / "l.pdf");
  CHECK(pages > 3);
  const std::string text = text_of(folder / "l.pdf");
  for (int i = 0; i < 120; ++i) {
    CHECK_THAT(text, Contains("Thing" + std::to_string(i) + ": not known."));
    CHECK_THAT(text, Contains("part" + std::to_string(i) + ";"));
  }
  for (int page = 1; page <= pages; ++page)
    CHECK_THAT(text, Contains("page " + std::to_string(page) + " of " + std::to_string(pages)));
}

TEST_CASE("the same letter gives the same bytes") {
  const Folder folder;
  write_letter(sample_letter(), {a4, {}}, folder / "a.pdf");
  write_letter(sample_letter(), {a4, {}}, folder / "b.pdf");
  CHECK(read_file(folder / "a.pdf") == read_file(folder / "b.pdf"));
}

TEST_CASE(
    "a letter of no board or in no language is refused and a line break stays inside its line") {
  LetterContent content = sample_letter();
  content.groups.clear();
  CHECK_THROWS_MATCHES(letter_text(content), Error,
                       Catch::Message("A letter needs at least one board that it is about."));
  CHECK_THROWS_WITH(letter_text(in_language("it")), Contains("There is no") && Contains("\"it\""));
  content = sample_letter();
  content.groups[0].topics[0].because[0].values[0].second = "two\nlines";
  CHECK_THAT(letter_text(content), Contains("two\uFFFDlines"));
}
