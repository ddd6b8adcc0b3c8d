#include "paper/card.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <cmath>

#include "domain/error.h"
#include "paper/card_text.h"
#include "paper/language.h"
#include "samples.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Matchers::Contains;
using Catch::Matchers::Message;

namespace {

CardOptions options(Size sheet = a4, Size card = a6) { return {sheet, card, print_time}; }

// What is printed on a sheet with this one card.
std::string printed(const CardContent& card) {
  const Folder folder;
  write_cards({card}, options(), folder / "c.pdf");
  return with_blanks(text_of(folder / "c.pdf"));
}

// The refusal, after seeing that no file is left.
std::string refusal(const CardContent& card) {
  const Folder folder;
  try {
    write_cards({card}, options(), folder / "c.pdf");
  } catch (const Error& error) {
    CHECK(error.kind() == Error::Kind::request);
    CHECK(folder.names().empty());
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("A full card prints every line") {
  const std::string text = printed(full_card());
  for (const char* line :
       {"Cutting board 400 × 250 × 22 mm First food contact: on or after 4 January 2027",
        ("Wood hard maple (Acer saccharum) black walnut (Juglans nigra) black cherry (Prunus "
         "serotina)"),
        "Glue water-resistant PVA wood glue", "Finish pure tung oil and mineral oil with beeswax",
        "Finished 5 December 2026", "Contains: tung nut and bee product.",
        "None recorded (does not mean free from): milk, egg and fish.",
        "Not known: soya and linseed.",
        "Names follow the list of food allergens of the United States.",
        "With an allergy, ask the maker and your doctor first",
        "About every 6 months, sooner when the wood looks dry, with pure tung oil: the maker’s "
        "advice.",
        "Rags, pads, paper and sanding dust with this piece’s finish can heat up by themselves and "
        "catch fire within hours.",
        "Workshop for Boards and Spoons at the Old Mill in Upper Exampleton",
        "12 Example Lane, Upper Exampleton, EX1 2PL", "boards@workshop.example, +44 1632 960001",
        "Piece 26-014-03-24", "Local rules and a doctor’s word come first."})
    CHECK_THAT(text, Contains(line));
}

// What USDA FSIS, "Cutting Boards and Food Safety", advises: wash after each use in hot soapy
// water, rinse, dry; a board of its own for raw meat, poultry and seafood; laminated boards may
// crack in a dishwasher.
TEST_CASE("Cleaning advice says what the published leaflet says and whose advice it is") {
  CardContent card = full_card();
  const std::string text = printed(card);
  CHECK_THAT(text,
             Contains("After each use wash in hot soapy water, rinse with clear water and dry "
                      "at once (advice of USDA FSIS)."));
  CHECK_THAT(text, Contains("Keep a separate board for raw meat, poultry and seafood (advice of "
                            "USDA FSIS)."));
  CHECK_THAT(text, Contains("Not in the dishwasher, never left in water: the maker’s advice."));
  CHECK_THAT(text, Contains("In a dishwasher laminated boards may crack and split (USDA FSIS)."));
  CHECK_THAT(text,
             Contains("Deep grooves that no longer come clean: have it resurfaced and refinished, "
                      "or stop using it."));
}

// The leaflet: 1 US tablespoon (14.787 ml) to 1 US gallon (3785.4 ml). Spoons and gallons differ by
// country, so elsewhere the card says millilitres to the litre: 1000 / 256 = 3.9.
TEST_CASE("The figure for sanitising is one part in 256 within rounding, with the rinse") {
  CardContent card = full_card();
  for (const std::string& language : languages()) {
    INFO(language);
    card.language = language;
    card.us_measures = false;
    const std::string metric = printed(card);
    CHECK_THAT(metric, Contains("4 ml ") && !Contains("tablespoon"));
    card.us_measures = true;
    const std::string us = printed(card);
    CHECK_THAT(us, Contains("tablespoon") && !Contains("4 ml"));
    const char* rinse = language == "en"   ? "rinse with clear water and dry (figure"
                        : language == "de" ? "mit klarem Wasser abspülen und abtrocknen (Angabe"
                        : language == "fr" ? "rincez à l’eau claire et séchez (chiffre"
                                           : "aclare con agua limpia y seque (cifra";
    for (const std::string& text : {metric, us}) CHECK_THAT(text, Contains(rinse));
  }
  CHECK(std::abs(4.0 / 1000 - 14.787 / 3785.4) < 0.0002);
}

TEST_CASE("A card leaves out what does not concern its board") {
  const std::string text = printed(short_card());
  CHECK_THAT(text, !Contains("raw meat"));
  CHECK_THAT(text, !Contains("laminated"));
  CHECK_THAT(text, !Contains("Rags"));
  CHECK_THAT(text, !Contains("Names follow"));
  CHECK_THAT(text, !Contains("bleach"));
  CHECK_THAT(text,
             Contains("About once a month, sooner when the wood looks dry, with the same finish"));
  CHECK_THAT(text, Contains("Glue no gluing recorded"));
  CHECK_THAT(text, Contains("Finished date not known"));
  CHECK_THAT(text, Contains("contains Not known: ask the maker."));
}

TEST_CASE("A guessed first contact says ask the maker and a missing date is not known") {
  CardContent card = full_card();
  card.first_contact = FirstContact::guessed;
  CHECK_THAT(printed(card),
             Contains("First food contact: not before 4 January 2027, ask the maker"));
  CHECK_THAT(printed(card), Contains("Some conditions behind this date are guessed"));
  card.first_contact = FirstContact::not_known;
  CHECK_THAT(printed(card), Contains("First food contact: not known, ask the maker"));
  card.first_contact = FirstContact::from_date;
  card.first_contact_on.clear();
  CHECK_THAT(printed(card), Contains("First food contact: not known, ask the maker"));
  set_lines(card, "us", "toy");
  CHECK_THAT(printed(card), !Contains("First food contact"));
}

TEST_CASE("A glue-up without a named glue is told apart from no glue") {
  CardContent card = short_card();
  card.glued = true;
  CHECK_THAT(printed(card), Contains("Glue not recorded"));
}

TEST_CASE("A finish without an interval says so") {
  CardContent card = short_card();
  card.reoil_months = 0;
  CHECK_THAT(printed(card), Contains("No interval is recorded for this finish: ask the maker."));
}

TEST_CASE("Names with signs of HTML and of templates are printed as they stand") {
  CardContent card = short_card();
  card.maker = "Ash & <Bowl> \"{{use}}\" # title: x";
  CHECK_THAT(printed(card), Contains("Ash & <Bowl> \"{{use}}\" # title: x"));
}

TEST_CASE("Different cards share sheets and each code reads as its piece") {
  std::vector<CardContent> cards;
  std::vector<std::string> codes;
  for (int i = 1; i <= 6; ++i) {
    cards.push_back(i % 2 ? full_card() : short_card());
    cards.back().code = "26-014-0" + std::to_string(i) + "-2" + std::to_string(i);
    codes.push_back(cards.back().code);
  }
  const Folder folder;
  write_cards(cards, options(), folder / "c.pdf");
  check_sound(folder / "c.pdf");
  CHECK(pages_of(folder / "c.pdf") == 4);  // the full cards have backs
  CHECK(codes_on(folder / "c.pdf", 1) ==
        std::vector<std::string>(codes.begin(), codes.begin() + 4));
  CHECK(codes_on(folder / "c.pdf", 2) == std::vector<std::string>{codes[0], codes[2]});
  CHECK(codes_on(folder / "c.pdf", 3) == std::vector<std::string>(codes.begin() + 4, codes.end()));
  CHECK(codes_on(folder / "c.pdf", 4) == std::vector<std::string>{codes[4]});
}

TEST_CASE("Cards of each size fit each sheet with nothing overlapping and readable codes") {
  for (const Size sheet : {a4, letter})
    for (const Size card : {tag, a7, a6, postcard, quarter_letter, a5}) {
      CardContent other = short_card();
      const Folder folder;
      const bool backs =
          write_cards({full_card(), other}, options(sheet, card), folder / "c.pdf").backs;
      check_sound(folder / "c.pdf");
      const double point = 72 / 25.4;
      CHECK(collisions(folder / "c.pdf", sheet.width * point, sheet.height * point) == "");
      std::vector<std::string> codes;
      for (int page = 1; page <= pages_of(folder / "c.pdf"); ++page)
        for (const std::string& code : codes_on(folder / "c.pdf", page)) codes.push_back(code);
      std::sort(codes.begin(), codes.end());
      codes.erase(std::unique(codes.begin(), codes.end()), codes.end());
      CHECK(codes == std::vector<std::string>{"26-014-03-24", "26-015-01-11"});
      CHECK(pages_of(folder / "c.pdf") % (backs ? 2 : 1) == 0);
    }
}

// EU 1169/2011 annex II has fourteen groups; the names are ours and short.
TEST_CASE("A card still fits when nothing about fourteen allergens is known") {
  CardContent card = full_card();
  card.contains.clear();
  card.none_recorded.clear();
  card.not_known = {"gluten cereals", "crustaceans", "egg",       "fish",    "peanut",
                    "soya",           "milk",        "tree nuts", "celery",  "mustard",
                    "sesame",         "sulphites",   "lupin",     "molluscs"};
  card.allergen_list = "the European Union";
  card.first_contact = FirstContact::guessed;
  CHECK_THAT(printed(card),
             Contains("Not known: gluten cereals, crustaceans, egg, fish, peanut, soya, "
                      "milk, tree nuts, celery, mustard, sesame, sulphites, lupin "
                      "and molluscs."));
}

TEST_CASE("The same cards give the same bytes") {
  const Folder folder;
  write_cards({full_card(), short_card()}, options(), folder / "a.pdf");
  write_cards({full_card(), short_card()}, options(), folder / "b.pdf");
  CHECK(read_file(folder / "a.pdf") == read_file(folder / "b.pdf"));
}

TEST_CASE("Too much text for the largest card is refused with the excess and nothing is cut") {
  CardContent card = full_card();
  for (int i = 0; i < 150; ++i) card.woods.push_back("hard maple (Acer saccharum)");
  CHECK_THAT(refusal(card), Catch::Matchers::Matches(
                                "The care card of 26-014-03-24 \\(longest part: Wood\\) does not "
                                "fit: it is [0-9]+\\.[0-9] mm too high\\. Nothing is cut off, so "
                                "shorten it\\."));
}

TEST_CASE("A card that cannot be printed leaves the old file") {
  const Folder folder;
  write_cards({short_card()}, options(), folder / "c.pdf");
  const std::string before = read_file(folder / "c.pdf");
  CardContent card = short_card();
  card.woods.assign(150, "hard maple (Acer saccharum)");
  CHECK_THROWS_AS(write_cards({card}, options(), folder / "c.pdf"), Error);
  CHECK(read_file(folder / "c.pdf") == before);
}

TEST_CASE("What a card cannot do without is asked for") {
  CHECK_THROWS_MATCHES(write_cards({}, options(), "/nowhere"), Error,
                       Message("There is no piece to print a care card for."));
  CardContent card = short_card();
  card.code.clear();
  CHECK(refusal(card) == "A care card needs the code of its piece.");
  card = short_card();
  card.maker.clear();
  CHECK(refusal(card) == "The care card of 26-015-01-11 needs the name of the maker.");
  card = short_card();
  card.contact = "two\nlines";
  set_lines(card, "us", "serving-board");
  const std::vector<CardLine> lines = card_text(card).lines;
  CHECK(std::any_of(lines.begin(), lines.end(),
                    [](const CardLine& line) { return line.text == "two\uFFFDlines"; }));
  card = short_card();
  card.language = "tlh";
  CHECK_THAT(refusal(card), Catch::Matchers::StartsWith(
                                "There is no care-card in the language \"tlh\": there is ") &&
                                Contains("en"));
}
