#include "commands/letter_sentences.h"

#include <catch2/catch.hpp>

#include "commands/named.h"
#include "domain/error.h"
#include "letter_contents.h"
#include "paper/letter.h"

using namespace trencher;
using namespace trencher::commands;
using Catch::Contains;

namespace {

const std::string woods = "WOODS";

LetterSentences sentences(const char* language) { return {sample_entry, woods, language}; }

std::string said(const char* language, const paper::LetterSentence& sentence) {
  return paper::Words("letter", language)(sentence.part,
                                          std::span<const paper::Words::Value>(sentence.values));
}

std::vector<std::string> all_said(const char* language, const std::string& about) {
  const engine::Answer answer = engine::answer(sample_contents(), about, all_allergens());
  std::vector<std::string> out;
  for (const auto& reason : sentences(language).reasons(answer.because))
    out.push_back(said(language, reason));
  for (const auto& missing : sentences(language).once(answer.missing))
    out.push_back(said(language, missing));
  for (const auto& note : sentences(language).once(answer.notes))
    out.push_back(said(language, note));
  return out;
}

bool holds(const std::vector<std::string>& all, const std::string& wanted) {
  return std::find(all.begin(), all.end(), wanted) != all.end();
}

}  // namespace

TEST_CASE("an answer is told in German with its names and days") {
  const auto all = all_said("de", "tree-nut");
  for (const char* line :
       {"Kitchen oil (Walnussöl) enthält von Natur aus Walnüsse.",
        "Behandelt mit Kitchen oil (Walnussöl): 12. Dezember 2026 und 13. Dezember 2026.",
        "Kitchen oil (Walnussöl) kam zu uns von Mill & Co, Charge 77: 8. Dezember 2026.",
        "Begonnen in unserer Serie 26-014: 10. Dezember 2026.",
        ("Schalenfrüchte: auf jeder dieser Listen von Lebensmittelallergenen: Europäische Union, "
         "Vereinigte Staaten, Vereinigtes Königreich, Kanada, Australien und Neuseeland.")}) {
    INFO(line);
    CHECK(holds(all, line));
  }
}

TEST_CASE("an open answer names whom to ask, in each language") {
  const struct {
    const char *language, *missing, *paper;
  } rows[] = {
      {"en",
       "A statement on milk, or a complete ingredient list, of Kitchen oil (walnut oil): its "
       "supplier, Mill & Co, may have it.",
       "No paper tells whether Kitchen oil (walnut oil) holds milk."},
      {"de",
       "Eine Angabe hierzu (Milch) oder eine vollständige Zutatenliste für Kitchen oil "
       "(Walnussöl): Der "
       "Lieferant, Mill & Co, kann sie haben.",
       "Keine Unterlage sagt, ob Kitchen oil (Walnussöl) Milch enthält."},
      {"fr",
       "Une déclaration sur ceci, ou une liste complète des ingrédients, de Kitchen oil (huile de "
       "noix)\u00a0: lait. Son fournisseur, Mill & Co, l’a peut-être.",
       "Aucun document ne dit si ceci se trouve dans Kitchen oil (huile de noix)\u00a0: lait."},
      {"es",
       "Una declaración sobre esto, o una lista completa de ingredientes, de Kitchen oil (aceite "
       "de nuez): leche. Puede tenerla su proveedor, Mill & Co.",
       "Ningún documento dice si esto está en Kitchen oil (aceite de nuez): leche."}};
  for (const auto& row : rows) {
    const auto all = all_said(row.language, "milk");
    INFO(row.language);
    CHECK(holds(all, row.missing));
    CHECK(holds(all, row.paper));
  }
}

TEST_CASE("what is left of a refined oil's law is said of each oil but soybean's") {
  const auto has = [](const char* about, const char* part) {
    for (const auto& line : all_said("en", about))
      if (line.find(part) != std::string::npos) return true;
    return false;
  };
  CHECK(has("tree-nut-walnut", "(so this stays on theirs however refined: walnut)"));
  CHECK(has("soy", "On refined oils the laws part"));
  CHECK(!has("soy", "stays on theirs"));
  // On the list of the United States and others, not on the European one.
  CHECK(has("tree-nut-pine", "On refined oils the laws part"));
  CHECK(!has("tree-nut-pine", "stays on theirs"));
}

TEST_CASE("what differs by its topic alone is said once with all topics") {
  const auto notes = [](const char* key, std::vector<const char*> topics) {
    std::vector<engine::Sentence> out;
    for (const char* topic : topics) {
      engine::Sentence note;
      note.key = key;
      note.values = {{"topic", topic}, {"listed", "us,eu"}};
      out.push_back(note);
    }
    return out;
  };
  const auto listed = sentences("en").once(notes("law-all", {"tree-nut", "milk", "milk"}));
  REQUIRE(listed.size() == 1);
  CHECK(said("en", listed[0]) ==
        "Tree nuts and milk: on each of these lists of food allergens: the United States, the "
        "European Union.");
  const auto refined = sentences("en").once(notes("law-refined", {"soy", "peanut", "sesame"}));
  REQUIRE(refined.size() == 1);
  CHECK_THAT(said("en", refined[0]),
             Contains("(so this stays on theirs however refined: peanut and sesame)"));
}

TEST_CASE("what an owner put on is told by its kind, a mix without our number") {
  engine::Sentence owners;
  owners.key = "no-paper";
  owners.values = {
      {"name", "Walnut oil, put on by its owner"}, {"kind", "walnut-oil"}, {"topic", "milk"}};
  CHECK(said("de", sentences("de").once({owners}).front()) ==
        "Keine Unterlage sagt, ob Walnussöl, vom Besitzer aufgetragen Milch enthält.");
  engine::Sentence mixed;
  mixed.key = "mixed";
  mixed.values = {
      {"tin", "F2"}, {"name", "Beeswax"}, {"kind", "beeswax"}, {"mix", "F5 Board butter"}};
  CHECK(said("en", sentences("en").once({mixed}).front()) ==
        "Beeswax went into our mix Board butter.");
  engine::Sentence put_on;
  put_on.key = "owner-said";
  put_on.values = {{"what", "beeswax"}};
  CHECK_THAT(said("es", sentences("es").once({put_on}).front()), Contains("«cera de abeja»"));
  put_on.values = {{"what", "something from a jar"}};
  CHECK_THAT(said("es", sentences("es").once({put_on}).front()),
             Contains("«something from a jar»"));
}

TEST_CASE("a correction is told with both days, and only where there is one") {
  const auto corrected = sentences("en").correction_of(8);
  REQUIRE(corrected);
  CHECK(said("en", *corrected) ==
        "An entry of 8 December 2026 on which this rests was corrected later, on 15 December "
        "2026; this letter follows the correction.");
  CHECK(!sentences("en").correction_of(9));
  CHECK(!sentences("en").correction_of(99));
}

TEST_CASE("every sentence of the engine is told in every language without a hole") {
  for (const char* language : {"en", "de", "fr", "es"})
    for (const std::string_view key : engine::sentence_keys()) {
      engine::Because because;
      because.key = key;
      because.entry = 3;
      because.ids = {"milk"};
      because.values = {{"tin", "F1"},           {"name", "Kitchen oil"},    {"kind", "walnut-oil"},
                        {"lot", "77"},           {"supplier", "Mill"},       {"mix", "F5 Butter"},
                        {"about", "safety"},     {"dated", "2026-05-03"},    {"ingredient", "oil"},
                        {"part", "cord"},        {"day", "2026-05-04"},      {"topic", "milk"},
                        {"listed", "us,eu"},     {"unlisted", "ca"},         {"woods", "x"},
                        {"species", "teak"},     {"wood", "Teak (Tectona)"}, {"what", "wax"},
                        {"batch", "26-014"},     {"ingredients", "oil"},     {"why", "notice"},
                        {"botanical", "Tectona"}};
      const auto told = sentences(language).reasons({because});
      REQUIRE(told.size() == 1);
      const std::string text = said(language, told.front());
      INFO(language << " " << key << ": " << text);
      CHECK(text.size() > 15);
      for (const char* hole : {"  ", " .", ": .", " ,", "()", "{{", "“”", "„“", "«»"})
        CHECK_THAT(text, !Contains(hole));
    }
}

TEST_CASE("names in words, with what has no translation under its own name") {
  CHECK(wood_in_words("hard-maple", "Hard maple (sugar maple)", "Acer saccharum", "en") ==
        "hard maple (Acer saccharum)");
  CHECK(wood_in_words("hard-maple", "Hard maple (sugar maple)", "Acer saccharum", "de") ==
        "Zuckerahorn (Acer saccharum)");
  CHECK(wood_in_words("plum", "Plum", "", "fr") == "plum");
  CHECK(use_in_words("cutting-board", "de") == "Schneidebrett");
  CHECK(topic_in_words("carnauba wax", "es") == "carnauba wax");
  CHECK(topic_in_words("animal-material", "fr") == "matière animale");
  CHECK(tin_in_words("Walnut oil", "walnut-oil", "en") == "Walnut oil");
  CHECK(tin_in_words("Walnut oil", "walnut-oil", "de") == "Walnut oil (Walnussöl)");
  CHECK(tin_in_words("Own brew", "nobody-knows", "de") == "Own brew");
  CHECK(things_in_words({"milk", "per-label", "egg"}, "de") == "Milch und Eier");
  CHECK(tin_in_full(sample_tin(7, "F1", "finish", "walnut-oil", "Kitchen oil", {}), "de") ==
        "Kitchen oil (Walnussöl), Charge 77, von Mill & Co");
}

TEST_CASE("letters are made in the four languages alone") {
  CHECK_THROWS_AS(sentences("it"), Error);
}
