#include "paper/offer.h"

#include <catch2/catch.hpp>
#include <sstream>

#include "domain/error.h"
#include "domain/text.h"
#include "paper/language.h"
#include "paper/phrases.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Contains;

namespace {

OfferContent sample(const std::string& language) {
  OfferContent out;
  out.language = language;
  out.maker = "Old Mill Boards";
  out.address = "4 Mill Lane, Hartwell";
  out.contact = "boards@oldmill.example";
  out.responsible = "Beispiel & Co, 1 Hafenweg, 20000 Beispielstadt, buero@beispiel.example";
  out.batch = "26-014";
  out.use = "Cutting board";
  out.size = "400 × 250 × 22 mm";
  out.woods = "hard maple (Acer saccharum)";
  out.finish = "walnut oil";
  out.glue = "PVA wood glue";
  out.picture = "board.jpg";
  out.first_contact = OfferContact::from_date;
  out.first_contact_on = "5 December 2026";
  out.contains = "walnut";
  out.none_recorded = "milk and fish";
  out.not_known = "soybeans";
  out.list = "the European Union";
  out.for_cutting = true;
  out.self_heating = true;
  return out;
}

// One blank between words, none at a line's end.
std::string unwrapped(const std::string& text) {
  std::istringstream in(text);
  std::string out;
  for (std::string word; in >> word;) out += (out.empty() ? "" : " ") + word;
  return out;
}

}  // namespace

// Reg. (EU) 2023/988 art 19 (a) to (d): maker, responsible person, identification with a picture,
// warnings and safety information.
TEST_CASE("an offer carries what the article names, in every language") {
  for (const std::string& language : languages()) {
    const Words words("offer", language);
    const OfferContent content = sample(language);
    const std::string raw = offer_text(content);
    const std::string text = unwrapped(raw);
    INFO(raw);
    for (const std::string& said :
         {content.maker, content.address, content.contact, content.responsible, content.use,
          content.size, content.woods, content.batch, content.picture, content.first_contact_on})
      CHECK_THAT(text, Contains(said));
    for (const char* part : {"wash", "dry", "no-dishwasher", "raw-meat", "grooves", "rags",
                             "allergy", "local", "heading-responsible"})
      CHECK_THAT(text, Contains(unwrapped(words(part))));
    // None recorded never stands without its reservation.
    CHECK_THAT(text, Contains(unwrapped(words("none-recorded", {{"things", "milk and fish"}}))));
    std::istringstream lines(raw);
    for (std::string line; std::getline(lines, line);) CHECK(display_width(line) <= 72);
  }
}

TEST_CASE("an offer says what rags and bench also touch after what is not known") {
  for (const std::string& language : languages()) {
    const Words words("offer", language);
    OfferContent content = sample(language);
    const std::string said = unwrapped(words("shared", {{"things", "sesame"}}));
    CHECK_THAT(unwrapped(offer_text(content)), !Contains(said.substr(0, said.find("sesame"))));
    content.shared = "sesame";
    CHECK_THAT(
        unwrapped(offer_text(content)),
        Contains(unwrapped(words("not-known", {{"things", "soybeans"}})) + " - " + said + " - "));
  }
}

TEST_CASE("an offer without a picture says nothing of one") {
  for (const std::string& language : languages()) {
    const std::string said = Words("offer", language)("picture", {{"picture", "@"}});
    OfferContent content = sample(language);
    content.picture.clear();
    CHECK_THAT(offer_text(content), !Contains(said.substr(0, said.find('@'))));
  }
}

TEST_CASE("an offer says of a day of first contact how it is known") {
  OfferContent content = sample("en");
  CHECK_THAT(unwrapped(offer_text(content)), Contains("not before 5 December 2026."));
  content.first_contact = OfferContact::guessed;
  CHECK_THAT(unwrapped(offer_text(content)), Contains("part of which is a guess"));
  content.first_contact = OfferContact::unknown;
  CHECK_THAT(unwrapped(offer_text(content)), Contains("the day is not known yet"));
  CHECK_THAT(offer_text(content), !Contains("5 December"));
}

TEST_CASE("what an offer has nothing to say of it leaves out") {
  OfferContent content = sample("en");
  content.responsible.clear();
  content.woods.clear();
  content.picture.clear();
  content.contains.clear();
  content.glue.clear();
  content.for_cutting = false;
  content.self_heating = false;
  const std::string text = offer_text(content);
  CHECK_THAT(text, Contains("Wood: not recorded"));
  for (const char* gone : {"Responsible", "Contains", "Glue", "Picture", "raw meat", "rags"})
    CHECK_THAT(text, !Contains(gone));
}

TEST_CASE("a toy's offer says that it is not made for food") {
  OfferContent content = sample("en");
  content.for_food = false;
  content.for_cutting = false;
  CHECK_THAT(offer_text(content), Contains("not made for food") && !Contains("First contact"));
}

TEST_CASE("a value with a line break does not get into an offer") {
  OfferContent content = sample("en");
  content.maker = "Old Mill\nBoards";
  CHECK_THAT(offer_text(content), Contains("Old Mill\uFFFDBoards"));
  content = sample("en");
  content.language = "tlh";
  CHECK_THROWS_AS(offer_text(content), Error);
}
