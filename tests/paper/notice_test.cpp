#include "paper/notice.h"

#include <catch2/catch.hpp>

#include "domain/error.h"
#include "jpegs.h"
#include "letter_samples.h"
#include "paper/language.h"
#include "paper/phrases.h"
#include "paper/picture.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Contains;

namespace {

std::string printed(const std::vector<NoticeContent>& notices, Size sheet = a4) {
  const Folder folder;
  write_notice(notices, {sheet, {}}, folder / "n.pdf");
  check_sound(folder / "n.pdf");
  constexpr double points = 72 / 25.4;
  CHECK(collisions(folder / "n.pdf", sheet.width * points, sheet.height * points).empty());
  return blanks(text_of(folder / "n.pdf"));
}

NoticeContent in_language(const std::string& language) {
  NoticeContent out = sample_notice();
  out.language = language;
  return out;
}

NoticeContent unfilled(const std::string& language) {
  NoticeContent out = in_language(language);
  out.risk.clear();
  out.to_do.clear();
  out.remedies.clear();
  return out;
}

}  // namespace

// Regulation (EU) 2023/988 article 36(2): what a notice holds. The German heading was read (see
// docs/sources.md); the French and the Spanish are from memory.
TEST_CASE("a notice has the heading and the content that the law asks for") {
  const struct {
    const char *language, *heading;
  } rows[] = {{"en", "Product safety recall"},
              {"de", "Produktsicherheitsrückruf"},
              {"fr", "Rappel de produit pour des raisons de sécurité"},
              {"es", "Recuperación de un producto por motivos de seguridad"}};
  for (const auto& row : rows) {
    const std::string text = printed({in_language(row.language)});
    CHECK(text.starts_with(row.heading));
    for (const char* said :
         {"Ada Example ada@home.example", "26-014-03-24", "26-014-04-21", "hard maple",
          "5 December 2026", "Kitchen oil (walnut oil), lot 77, from Mill & Co",
          "lot 77 was filled into tins that had held another product",
          "It can make somebody ill who is allergic to peanut.",
          "Bring or send the board back; we pay the postage.",
          "Old Mill Boards 4 Mill Lane, Hartwell boards@oldmill.example", "12 December 2026"})
      CHECK_THAT(text, Contains(said));
    const Words words("notice", row.language);
    for (const char* part : {"stop", "picture", "picture-code", "code-place", "pass-on"})
      CHECK_THAT(text, Contains(blanks(words(part))));
  }
}

TEST_CASE("a notice fits one sheet of either paper, filled in or not") {
  for (const std::string& language : languages())
    for (const Size sheet : {a4, letter})
      for (const NoticeContent& content : {in_language(language), unfilled(language)}) {
        const Folder folder;
        write_notice({content}, {sheet, {}}, folder / "n.pdf");
        CHECK(pages_of(folder / "n.pdf") == 1);
      }
}

TEST_CASE("what the maker has not said is left to fill in, and says what belongs there") {
  for (const std::string& language : languages()) {
    const Words words("notice", language);
    const std::string open = printed({unfilled(language)}), told = printed({in_language(language)});
    for (const char* part : {"risk-lines", "to-do-lines", "remedies-boxes"}) {
      CHECK_THAT(open, Contains(blanks(words(part))));
      CHECK_THAT(told, !Contains(blanks(words(part))));
    }
    for (const char* id : {"repair", "replacement", "refund"})
      CHECK_THAT(open, Contains(words(id)));
  }
}

TEST_CASE("two remedies are offered for choice, and one alone is not enough") {
  NoticeContent content = sample_notice();
  CHECK_THAT(printed({content}), Contains("as you choose: replacement or refund."));
  content.remedies = {"repair", "replacement", "refund"};
  CHECK_THAT(printed({content}), Contains("as you choose: repair, replacement or refund."));
  content.remedies = {"refund"};
  CHECK_THAT(printed({content}), Contains("To be ticked: at least two"));
  content.remedies = {"refund", "voucher"};
  CHECK_THROWS_MATCHES(
      printed({content}), Error,
      Catch::Message(
          "A notice cannot offer \"voucher\": a remedy is repair, replacement or refund."));
}

TEST_CASE("a ticked box is drawn, an open one is not") {
  const auto ink = [](std::vector<std::string> remedies) {
    NoticeContent content = sample_notice();
    content.remedies = std::move(remedies);
    const Folder folder;
    write_notice({content}, {a4, {}}, folder / "n.pdf");
    const Picture picture = picture_of(folder / "n.pdf", 1, 100);
    return std::count_if(picture.pixels.begin(), picture.pixels.end(),
                         [](char c) { return static_cast<unsigned char>(c) < 128; });
  };
  CHECK(ink({"refund"}) > ink({}));
}

TEST_CASE("the notice for the shop names nobody and speaks to everybody") {
  NoticeContent content = sample_notice();
  content.to.clear();
  content.to_contact.clear();
  const std::string text = printed({content});
  CHECK_THAT(text, Contains("To everybody who has one of these pieces"));
  CHECK_THAT(text, !Contains("Ada"));
}

TEST_CASE("a notice to somebody whose boards came back does not ask them to stop using them") {
  for (const std::string& language : languages()) {
    NoticeContent content = in_language(language);
    for (NoticeBoard& board : content.boards) board.back_on = "9 December 2026";
    const Words words("notice", language);
    std::string text = printed({content});
    for (const char* part : {"title", "stop-returned", "to-do-returned", "pass-on"})
      CHECK_THAT(text, Contains(blanks(words(part))));
    for (const char* part : {"stop", "code-place", "picture-code"})
      CHECK_THAT(text, !Contains(blanks(words(part))));
    // The maker's own words stand in every notice.
    CHECK_THAT(text, Contains("9 December 2026") && Contains("allergic to peanut") &&
                         Contains("Bring or send the board back"));
    content.boards.back().back_on.clear();  // one is still there
    text = printed({content});
    CHECK_THAT(text, Contains("9 December 2026") && Contains("Bring or send the board back"));
    for (const char* part : {"stop", "code-place", "picture-code", "pass-on"})
      CHECK_THAT(text, Contains(blanks(words(part))));
  }
}

TEST_CASE("each notice of a file counts its own pages") {
  NoticeContent many = sample_notice();
  many.boards.clear();
  for (int i = 0; i < 60; ++i)
    many.boards.push_back({"code" + std::to_string(i), "description" + std::to_string(i), ""});
  const std::string text = printed({sample_notice(), many});
  CHECK_THAT(text, Contains("12 December 2026, page 1 of 1"));
  CHECK_THAT(text, Contains("page 1 of 4") && Contains("page 4 of 4"));
  for (int i = 0; i < 60; ++i)
    CHECK_THAT(text, Contains("code" + std::to_string(i) + " description" + std::to_string(i)));
}

TEST_CASE("long words of the maker flow to another page and lose nothing") {
  NoticeContent content = sample_notice();
  content.risk.clear();
  for (int i = 0; i < 700; ++i) content.risk += "word" + std::to_string(i) + " ";
  const std::string text = printed({content});
  for (int i = 0; i < 700; ++i) CHECK_THAT(text, Contains("word" + std::to_string(i) + " "));
}

TEST_CASE("the same notices give the same bytes") {
  const Folder folder;
  write_notice({sample_notice()}, {letter, {}}, folder / "a.pdf");
  write_notice({sample_notice()}, {letter, {}}, folder / "b.pdf");
  CHECK(read_file(folder / "a.pdf") == read_file(folder / "b.pdf"));
}

TEST_CASE("a file without a notice and a notice without a board are refused") {
  CHECK_THROWS_MATCHES(printed({}), Error,
                       Catch::Message("A file of notices needs at least one notice."));
  NoticeContent content = sample_notice();
  content.boards.clear();
  CHECK_THROWS_MATCHES(
      printed({content}), Error,
      Catch::Message("A notice of a recall needs at least one board that it speaks of."));
  CHECK_THROWS_WITH(printed({in_language("it")}), Contains("\"it\""));
}

// Article 36(2)(c) names these; the digests that were read quote the first and the last.
TEST_CASE("words that lower a risk are found in each language, whatever their ending and case") {
  using List = std::vector<std::string>;
  CHECK(softening_words(
            "A voluntary, PRECAUTIONARY and discretionary recall, in rare\n situations.") ==
        List{"voluntary", "precautionary", "discretionary", "in rare situations"});
  CHECK(softening_words("No accidents were reported; it is unlikely.") ==
        List{"no accidents", "unlikely"});
  CHECK(softening_words("Ein freiwilliger, vorsorglicher Rückruf; Unfälle sind selten.") ==
        List{"freiwilliger", "vorsorglicher", "selten"});
  CHECK(softening_words("Un rappel « volontaire », par mesure de PRÉCAUTION, dans de rares cas") ==
        List{"volontaire", "précaution", "dans de rares"});
  CHECK(softening_words("Retirada «voluntaria» por precaución, en raras ocasiones") ==
        List{"voluntaria", "precaución", "en raras"});
  CHECK(softening_words("voluntary and Voluntary") == List{"voluntary"});
}

TEST_CASE("plain words of a hazard are not taken for softening ones") {
  for (const char* text :
       {"It can make somebody ill who is allergic to peanut.",
        "An involuntary movement may tip it.",
        "Es kann zu einer schweren allergischen Reaktion führen.",
        "Une réaction allergique grave peut survenir.", "Un geste involontaire peut la renverser.",
        "Puede causar una reacción alérgica grave.", ""})
    CHECK(softening_words(text).empty());
}

TEST_CASE(
    "a notice shows the photographs of its batches and leaves frames for those that lack one") {
  const std::string plain = plain_picture(made_jpeg({300, 220,
                                                     [](int x, int) {
                                                       return Colour{x % 200, 90, 40};
                                                     }}),
                                          280);
  const auto pictures_in = [&](const NoticeContent& notice) {
    const Folder folder;
    write_notice({notice}, {a4, {}}, folder / "n.pdf");
    check_sound(folder / "n.pdf");
    const std::string list = poppler("pdfimages -list " + (folder / "n.pdf").string());
    return std::count(list.begin(), list.end(), '\n') - 2;  // two lines of heading
  };
  NoticeContent notice = sample_notice();
  notice.pictures = {{"26-014", plain}};
  CHECK(pictures_in(notice) == 1);
  std::string text = printed({notice});
  CHECK_THAT(text, Contains("picture of the piece") && Contains("where its code stands"));
  notice.pictures_whole = true;
  text = printed({notice});
  CHECK_THAT(text, !Contains("picture of the piece") && Contains("where its code stands"));
  notice.pictures.push_back({"26-015", plain});
  CHECK(pictures_in(notice) == 2);
  CHECK_THAT(printed({notice}), Contains("26-015"));
  // And in the languages whose notices are longest, beside lines to fill in.
  for (const std::string& language : languages()) {
    NoticeContent long_one = unfilled(language);
    long_one.pictures = notice.pictures;
    printed({long_one}, letter);
  }
}
