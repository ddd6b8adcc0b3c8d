#include "paper/document.h"

#include <catch2/catch.hpp>

#include "domain/error.h"
#include "paper/characters.h"
#include "paper/visual.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Matchers::Contains;
using Catch::Matchers::Message;

namespace {

constexpr std::chrono::sys_seconds moment =
    std::chrono::sys_days(std::chrono::year{2026} / 12 / 5) + std::chrono::hours(14) +
    std::chrono::minutes(30);

constexpr Font type{Face::regular, 10};

// A file with one text on one page.
void save_text(const std::filesystem::path& path, Size sheet, const std::string& text, Font font) {
  Document document(sheet, "Café – ½", moment);
  document.add_page();
  document.text({20, 30}, text, font);
  document.save(path);
}

}  // namespace

TEST_CASE("A measured width is the width that another program finds") {
  for (const Face face : {Face::regular, Face::bold}) {
    const Folder folder;
    const std::string text = "Übergröße–½×°Walnußöl,26-014";
    save_text(folder / "a.pdf", a4, text, {face, 14});
    const auto words = words_of(folder / "a.pdf");  // poppler, in points
    REQUIRE(words.size() == 1);
    CHECK(words[0].text == text);
    const Document document(a4, "", moment);
    CHECK(document.width(text, {face, 14}) ==
          Approx((words[0].right - words[0].left) / 72 * 25.4).epsilon(0.001));
    CHECK(words[0].left == Approx(20 / 25.4 * 72).margin(0.01));
  }
}

TEST_CASE("Accented Latin and signs and Greek and Cyrillic come out as they went in") {
  const Folder folder;
  const std::string text = "Łódź ½ °C ± µm “quoted” – γλυκό дуб";
  save_text(folder / "a.pdf", a4, text, type);
  CHECK(text_of(folder / "a.pdf") == text);
}

TEST_CASE("Pages have the size asked for") {
  const Folder folder;
  save_text(folder / "a4.pdf", sheet_size("a4"), "x", type);
  save_text(folder / "letter.pdf", sheet_size("letter"), "x", type);
  CHECK(run("pdfinfo " + (folder / "a4.pdf").string()).find("595.276 x 841.89 pts (A4)") !=
        std::string::npos);
  CHECK(run("pdfinfo " + (folder / "letter.pdf").string()).find("612 x 792 pts (letter)") !=
        std::string::npos);
  CHECK_THROWS_MATCHES(sheet_size("a3"), Error,
                       Message("The paper 'a3' is not known. It is one of: a4, letter."));
  CHECK_THROWS_MATCHES(card_size("b7"), Error,
                       Message("The card size 'b7' is not known. It is one of: tag, a7, a6, 4x6in, "
                               "quarter-letter, a5."));
}

TEST_CASE("A file is sound and carries its fonts and its title and the moment given") {
  const Folder folder;
  save_text(folder / "a.pdf", a4, "x", type);
  check_sound(folder / "a.pdf");
  const std::string info = run("TZ=UTC pdfinfo -isodates " + (folder / "a.pdf").string());
  CHECK(info.find("Café – ½") != std::string::npos);
  CHECK(info.find("2026-12-05T14:30:00Z") != std::string::npos);
  // Columns of pdffonts: name, type, encoding, embedded, subset, has Unicode.
  CHECK(std::regex_search(poppler("pdffonts " + (folder / "a.pdf").string()),
                          std::regex("DejaVuSans,Book +CID TrueType +Identity-H +yes yes yes")));
}

TEST_CASE("The same calls give the same bytes and asking twice too") {
  const auto make = [] {
    Document document(a4, "Twice", moment);
    document.add_page();
    document.text({20, 30}, "same", type);
    const std::string bytes = document.bytes();
    CHECK(document.bytes() == bytes);
    return bytes;
  };
  CHECK(make() == make());
}

TEST_CASE("A character that the fonts lack is drawn as a sign and told") {
  Document document(a4, "", moment);
  lacking().clear();
  CHECK(document.width("楓 board", type) == document.width("\uFFFD board", type));
  CHECK(lacking() == std::set<char32_t>{0x6953});
  CHECK(document.width("a 😀", type) == document.width("a \uFFFD", type));
  CHECK(lacking() == std::set<char32_t>{0x6953, 0x1F600});
  lacking().clear();
  document.width("Zoë 7/8″ עץ خشب ❤️", type);
  CHECK(lacking().empty());
}

// pdftotext turns what is drawn from right to left back into the order of reading.
TEST_CASE("Hebrew and Arabic are drawn from right to left and Arabic letters are joined") {
  const auto drawn = [](std::string_view text) { return visual(characters(text)); };
  CHECK(drawn("Ada Lo") == U"Ada Lo");
  CHECK(drawn("a עץ b") == U"a ץע b");
  CHECK(drawn("עץ 12") == U"12 ץע");
  CHECK(drawn("خشب") == U"\uFE90\uFEB8\uFEA7");  // final, medial, initial form
  CHECK(drawn("❤\uFE0F\u200D🔥") == U"❤🔥");
  const Folder folder;
  Document document(a4, "עץ", moment);
  document.add_page();
  document.text({20, 30}, "עץ זית", type);
  document.save(folder / "d.pdf");
  for (const char* word : {"עץ", "זית"}) CHECK_THAT(text_of(folder / "d.pdf"), Contains(word));
}

TEST_CASE("Control characters and bytes that are no text are drawn as a sign") {
  const Folder folder;
  Document document(a4, "Ti\x1btle\u202E", moment);
  document.add_page();
  double y = 30;
  for (const char* bad :
       {"two\nlines", "tab\there", "x\u202Ey", "caf\xE9 noir", "\xC0\xAF", "esc\x1b[1m"})
    document.text({20, y += 10}, bad, type);
  document.save(folder / "d.pdf");
  const std::string text = text_of(folder / "d.pdf");
  for (const char* want :
       {"two\uFFFDlines", "tab\uFFFDhere", "x\uFFFDy", "caf\uFFFD noir", "esc\uFFFD[1m"})
    CHECK_THAT(text, Contains(want));
}

TEST_CASE("What the library refuses is told in words and the document goes no further") {
  Document document(a4, "", moment);
  document.add_page();
  CHECK_THROWS_MATCHES(document.outline({0, 0, 1, 1}, {-1, 0, {}}), Error,
                       Message("Cannot make the PDF file: a number is out of the range that PDF "
                               "allows."));
  CHECK_THROWS_AS(document.bytes(), Error);
}

TEST_CASE("A frame moves and scales and turns what is drawn in it") {
  const Folder folder;
  Document document(a4, "", moment);
  document.add_page();
  // A black square of 5 mm, 10 mm right and 20 mm down in each frame.
  const Rect square{10, 20, 5, 5};
  document.framed({{100, 0, 50, 80}, 1, false}, [&] { document.fill(square, 0); });
  document.framed({{0, 100, 80, 50}, 1, true}, [&] { document.fill(square, 0); });
  document.framed({{100, 100, 50, 80}, 2, false}, [&] { document.fill(square, 0); });
  document.save(folder / "a.pdf");
  const Picture picture = picture_of(folder / "a.pdf", 1, 254);  // ten dots to a millimetre
  const auto dark = [&](double x, double y) { return picture.at(int(x * 10), int(y * 10)) < 128; };
  CHECK(dark(112.5, 22.5));
  CHECK_FALSE(dark(109, 22.5));
  CHECK_FALSE(dark(112.5, 26));
  // Turned: down in the frame is rightwards on the page, right in the frame is upwards from the
  // bottom.
  CHECK(dark(22.5, 137.5));
  CHECK_FALSE(dark(22.5, 134));
  CHECK(dark(125, 145));
  CHECK(dark(121, 141));
  CHECK(dark(129, 149));
  CHECK_FALSE(dark(131, 145));
}

TEST_CASE("Nothing is drawn outside a clip") {
  const Folder folder;
  Document document(a4, "", moment);
  document.add_page();
  document.clipped({20, 20, 10, 10}, [&] { document.fill({0, 0, 100, 100}, 0); });
  document.save(folder / "a.pdf");
  const Picture picture = picture_of(folder / "a.pdf", 1, 254);
  CHECK(picture.at(250, 250) == 0);
  CHECK(picture.at(150, 250) == 255);
  CHECK(picture.at(350, 250) == 255);
}

TEST_CASE("A stamp stands once in the file however often it is made or placed") {
  const Folder folder;
  Document document(a4, "", moment);
  document.add_page();
  const auto square = [&](double at) {
    return document.stamp({50, 50}, [&, at] { document.fill({at, at, 5, 5}, 0); });
  };
  CHECK(square(10) == square(10));
  CHECK(square(10) != square(20));
  document.framed({{100, 100, 50, 50}, 1}, [&] { document.draw(square(10)); });
  document.framed({{0, 200, 50, 50}, 1}, [&] { document.draw(square(10)); });
  document.framed({{100, 200, 50, 50}, 1}, [&] { document.draw(square(48)); });
  document.save(folder / "a.pdf");
  check_sound(folder / "a.pdf");
  run("qpdf --qdf --object-streams=disable " + (folder / "a.pdf").string() + " " +
      (folder / "open.pdf").string());
  const std::string open = read_file(folder / "open.pdf");
  int forms = 0;
  for (auto at = open.find("/Subtype /Form"); at != std::string::npos;
       at = open.find("/Subtype /Form", at + 1))
    ++forms;
  CHECK(forms == 2);  // that at 20 is on no page
  const Picture picture = picture_of(folder / "a.pdf", 1, 254);
  const auto dark = [&](double x, double y) { return picture.at(int(x * 10), int(y * 10)) < 128; };
  CHECK(dark(112.5, 112.5));
  CHECK(dark(12.5, 212.5));
  CHECK_FALSE(dark(122.5, 122.5));
  CHECK(dark(149, 249));
  CHECK_FALSE(dark(151, 251));  // beyond the stamp
}
