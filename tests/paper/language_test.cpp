#include "paper/language.h"

#include <catch2/catch.hpp>

#include "domain/error.h"

using namespace trencher;
using namespace trencher::paper;
using namespace std::chrono;

TEST_CASE("dates are written as the language writes them") {
  const Day fifth = 2026y / December / 5, first = 2027y / August / 1;
  const struct {
    const char *language, *fifth, *first;
  } rows[] = {{"en", "5 December 2026", "1 August 2027"},
              {"de", "5. Dezember 2026", "1. August 2027"},
              {"fr", "5 décembre 2026", "1er août 2027"},
              {"es", "5 de diciembre de 2026", "1 de agosto de 2027"}};
  for (const auto& row : rows) {
    CHECK(Language(row.language).long_date(fifth) == row.fifth);
    CHECK(Language(row.language).long_date(first) == row.first);
  }
}

TEST_CASE("every month has its name in every language") {
  for (const std::string& id : languages()) {
    const Language language(id);
    std::vector<std::string> seen;
    for (unsigned m = 1; m <= 12; ++m) {
      const std::string date = language.long_date(2026y / month(m) / 2);
      CHECK(std::find(seen.begin(), seen.end(), date) == seen.end());
      seen.push_back(date);
    }
  }
}

TEST_CASE("lists are joined as the language joins them") {
  CHECK(Language("en").all_of({"a", "b", "c"}) == "a, b and c");
  CHECK(Language("de").all_of({"a", "b", "c"}) == "a, b und c");
  CHECK(Language("fr").all_of({"a", "b"}) == "a et b");
  CHECK(Language("es").all_of({"a", "b"}) == "a y b");
  CHECK(Language("en").any_of({"a", "b", "c"}) == "a, b or c");
  CHECK(Language("de").any_of({"a", "b"}) == "a oder b");
  CHECK(Language("fr").any_of({"a", "b"}) == "a ou b");
  CHECK(Language("es").any_of({"a", "b"}) == "a o b");
  CHECK(Language("en").all_of({"a"}) == "a");
  CHECK(Language("en").all_of({}).empty());
}

TEST_CASE("Spanish 'y' and 'o' give way before their own sound") {
  const Language spanish("es");
  CHECK(spanish.all_of({"cola", "isocianatos"}) == "cola e isocianatos");
  CHECK(spanish.all_of({"cola", "Ipé"}) == "cola e Ipé");
  CHECK(spanish.all_of({"nueces", "higos"}) == "nueces e higos");
  CHECK(spanish.all_of({"agua", "hielo"}) == "agua y hielo");
  CHECK(spanish.any_of({"arce", "olivo"}) == "arce u olivo");
  CHECK(spanish.any_of({"arce", "haya"}) == "arce o haya");
}

TEST_CASE("letters beyond ASCII are made large and small too") {
  CHECK(capitalised("érable") == "Érable");
  CHECK(capitalised("œufs") == "Œufs");
  CHECK(capitalised("maple") == "Maple");
  CHECK(capitalised("Älter") == "Älter");
  CHECK(capitalised("").empty());
  CHECK(small_letters("ÉRABLE × PRÄZISE Ñ") == "érable × präzise ñ");
}

// Decimal marks: comma in German, French and Spanish (CLDR, from memory).
TEST_CASE("a measure has the language's decimal mark and stays on one line") {
  const std::string metric = "400 × 250 × 22.5 mm";
  CHECK(Language("en").measure(metric) == "400\u00A0×\u00A0250\u00A0×\u00A022.5\u00A0mm");
  for (const char* id : {"de", "fr", "es"})
    CHECK(Language(id).measure(metric) == "400\u00A0×\u00A0250\u00A0×\u00A022,5\u00A0mm");
  CHECK(Language("en").measure("15 3/4 in") == "15\u00A03/4\u00A0in");
  CHECK(Language("de").measure("7/8 in") == "7/8\u00A0Zoll");
  CHECK(Language("fr").measure("7/8 in") == "7/8\u00A0po");
}

TEST_CASE("a language that is not there is refused with those that are") {
  CHECK_THROWS_MATCHES(
      Language("it"), Error,
      Catch::Message("There is no language in the language \"it\": there is de, en, es, fr."));
}
