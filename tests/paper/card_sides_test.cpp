// Cards of all sizes, languages, uses and markets: nothing lost, nothing on anything else, the code
// readable on both sides.
#include <algorithm>
#include <catch2/catch.hpp>

#include "paper/card_text.h"
#include "paper/language.h"
#include "paper/phrases.h"
#include "samples.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Matchers::Contains;

namespace {

constexpr double point = 72 / 25.4;

CardContent card_for(const std::string& language, const std::string& market, const std::string& use,
                     const std::string& as, bool full) {
  CardContent card = full ? full_card() : short_card();
  card.language = language;
  card.use = use;
  std::replace(card.use.begin(), card.use.end(), '-', ' ');
  if (full) {
    card.responsible = "Example Agent, 3 Sample Street, 1000 Sampletown, agent@union.example";
    card.ingredients = {{"pure tung oil", {"tung oil"}, true},
                        {"mineral oil with beeswax", {"white mineral oil", "beeswax"}, false}};
    card.others = {"rubber feet"};
    card.used_before = true;
    card.first_contact = FirstContact::guessed;
  }
  card.us_measures = market == "us";
  set_lines(card, market, use, as);
  return card;
}

bool take_out(std::string& text, const std::string& piece) {
  const std::size_t at = text.find(piece);
  if (at == std::string::npos) return false;
  text.replace(at, piece.size(), " ");
  return true;
}

std::string without_ends(const std::string& text) {
  std::istringstream in(text);
  std::string out;
  for (std::string word; in >> word;) out += (out.empty() ? "" : " ") + word;
  return out;
}

// What the file prints beyond the lines of the cards, and lines that it lacks; both empty: equal.
// Repeated on backs: the headings of sections, the code.
std::string difference(const std::filesystem::path& pdf, const std::vector<CardContent>& cards) {
  std::string text = with_blanks(text_of(pdf));
  std::vector<std::string> lines, repeated;
  for (const CardContent& card : cards) {
    const CardText said = card_text(card);
    for (const CardLine& line : said.lines) {
      lines.push_back(without_ends(with_blanks(line.text)));
      if (line.role == CardRole::section) repeated.push_back(lines.back());
    }
    for (const std::string& more : {said.code, said.overleaf})
      repeated.push_back(with_blanks(more));
    take_out(text, with_blanks(said.continued));  // first, for the title is a part of it
  }
  const auto longer = [](const std::string& a, const std::string& b) {
    return a.size() > b.size();
  };
  std::stable_sort(lines.begin(), lines.end(), longer);
  std::stable_sort(repeated.begin(), repeated.end(), longer);
  std::string out;
  for (const std::string& line : lines)
    if (!take_out(text, line)) out += "lacks: " + line + "\n";
  for (const std::string& line : repeated) take_out(text, line);
  if (const std::string rest = without_ends(text); !rest.empty()) out += "has also: " + rest + "\n";
  return out;
}

std::vector<std::string> all_codes(const std::filesystem::path& pdf) {
  std::vector<std::string> out;
  for (int page = 1; page <= pages_of(pdf); ++page)
    for (const std::string& code : codes_on(pdf, page)) out.push_back(code);
  return out;
}

}  // namespace

TEST_CASE("A card prints its lines and no others in every size, language, use and market") {
  for (const CardSize& size : card_sizes())
    for (const std::string& language : languages()) {
      std::vector<CardContent> full, brief;
      for (const char* market : {"us", "us-ca", "eu", "de", "uk", "ca", "anz"})
        for (const char* use : {"cutting-board", "serving-board", "salad-bowl", "utensil", "toy"}) {
          full.push_back(card_for(language, market, use, "sale", true));
          brief.push_back(card_for(language, market, use, "private-gift", false));
        }
      for (const auto& cards : {full, brief}) {
        INFO(size.name << " " << language << " " << (&cards == &brief ? "brief" : "full"));
        const Folder folder;
        const CardsWritten written =
            write_cards(cards, {a4, size.size, print_time}, folder / "c.pdf");
        CHECK(difference(folder / "c.pdf", cards) == "");
        CHECK(collisions(folder / "c.pdf", a4.width * point, a4.height * point) == "");
        CHECK(written.card.width >= std::min(size.size.width, postcard.width));
      }
    }
}

TEST_CASE("A brief card stays on a tag and a full one goes on the next size that holds it") {
  for (const std::string& language : languages()) {
    INFO(language);
    const Folder folder;
    const CardContent brief = card_for(language, "us", "serving-board", "sale", false);
    CHECK(write_cards({brief}, {a4, tag, print_time}, folder / "t.pdf").card == tag);
    const CardContent full = card_for(language, "eu", "cutting-board", "sale", true);
    CHECK(write_cards({full}, {a4, tag, print_time}, folder / "f.pdf").card.width > tag.width);
    CHECK(write_cards({full}, {a4, a6, print_time}, folder / "g.pdf").card == a6);
  }
}

TEST_CASE("Codes of every size are read on fronts and backs") {
  for (const CardSize& size : card_sizes()) {
    INFO(size.name);
    std::vector<CardContent> cards(10, card_for("en", "us", "cutting-board", "sale", false));
    for (std::size_t i = 0; i < cards.size(); ++i) {
      cards[i].code = "26-014-" + std::to_string(10 + i) + "-24";
      // So much that every size needs its back.
      const std::size_t lines = size.size == a5 ? 40 : size.size.width > 80 ? 25 : 6;
      cards[i].woods.assign(lines, "wood of some kind (Lignum quoddam)");
    }
    const Folder folder;
    const CardsWritten written = write_cards(cards, {a4, size.size, print_time}, folder / "c.pdf");
    CHECK(written.card == size.size);
    REQUIRE(written.backs);
    const std::vector<std::string> codes = all_codes(folder / "c.pdf");
    CHECK(codes.size() == 20);
    for (const CardContent& card : cards)
      CHECK(std::count(codes.begin(), codes.end(), card.code) == 2);
  }
}

TEST_CASE("A back lies behind its front when the sheet is turned over its long edge") {
  for (const Size size : {tag, a7}) {  // upright, and on its side
    std::vector<CardContent> cards(1, card_for("en", "us", "cutting-board", "sale", false));
    const Folder folder;
    const CardsWritten written = write_cards(cards, {a4, size, print_time}, folder / "c.pdf");
    REQUIRE(written.card == size);
    REQUIRE(written.backs);
    double front_left = 1e9, front_right = 0, back_left = 1e9, back_right = 0;
    for (const Word& word : words_of(folder / "c.pdf")) {
      double& left = word.page == 1 ? front_left : back_left;
      double& right = word.page == 1 ? front_right : back_right;
      left = std::min(left, word.left);
      right = std::max(right, word.right);
    }
    const double width = a4.width * point;
    CHECK(front_right < width / 2);
    CHECK(back_left > width / 2);
    CHECK(back_right <= width);
    CHECK(front_left >= 0);
  }
}

TEST_CASE("What must be seen stays on the front, which says that it goes on") {
  CardContent card = card_for("en", "eu", "cutting-board", "sale", true);
  const Folder folder;
  REQUIRE(write_cards({card}, {a4, a6, print_time}, folder / "c.pdf").backs);
  std::string front, back;
  for (const Word& word : words_of(folder / "c.pdf"))
    (word.page == 1 ? front : back) += word.text + " ";
  for (const char* seen :
       {"First food contact", "Contains: tung nut",
        "Rags, pads, paper and sanding dust with this piece’s finish", "12 Example Lane",
        "boards@workshop.example", "Piece 26-014-03-24", "More on the back"})
    CHECK_THAT(with_blanks(front), Contains(seen));
  for (const char* behind : {"Cutting board, continued", "Piece 26-014-03-24", "Cleaning"})
    CHECK_THAT(with_blanks(back), Contains(behind));
}

TEST_CASE("A very long list of ingredients, long names and fourteen allergens are printed whole") {
  for (const std::string& language : languages()) {
    INFO(language);
    CardContent card = card_for(language, "eu", "cutting-board", "sale", true);
    std::vector<std::string> list;
    for (int i = 0; i < 40; ++i) list.push_back("constituent number " + std::to_string(i));
    card.ingredients.push_back({"hardwax oil", list, true});
    card.maker =
        "The Association of Independent Makers of Boards, Bowls and Spoons of Greater Upper "
        "Exampleton and the Valleys Beyond";
    card.woods.push_back(
        "a wood with a rather long name in the trade (Arbor longissima "
        "exemplaris var. prolixa)");
    card.contains = {};
    card.not_known = {};
    for (const char* id :
         {"milk", "egg", "fish", "crustaceans", "molluscs", "tree nuts", "peanut", "soya",
          "gluten cereals", "sesame", "celery", "mustard", "lupin", "sulphites"})
      card.not_known.emplace_back(id);
    const Folder folder;
    for (const CardSize& size : card_sizes()) {
      write_cards({card}, {letter, size.size, print_time}, folder / "c.pdf");
      CHECK(difference(folder / "c.pdf", {card}) == "");
      CHECK(collisions(folder / "c.pdf", letter.width * point, letter.height * point) == "");
    }
  }
}

TEST_CASE("The lines that a card printed are those that it carries and has something for") {
  CardContent card = card_for("en", "eu", "cutting-board", "sale", true);
  CHECK(printed_lines(card) == card.lines);
  card.address.clear();
  std::vector<std::string> lines = card.lines;
  std::erase(lines, "address");
  CHECK(printed_lines(card) == lines);
}
