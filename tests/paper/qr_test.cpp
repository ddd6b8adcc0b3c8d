#include "paper/qr.h"

#include <catch2/catch.hpp>

#include "domain/error.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Matchers::Message;

TEST_CASE("A reader finds the very text in a printed code") {
  for (const std::string text :
       {"26-014-03-24", "127-1203-14-55", "https://workshop.example/26-014"}) {
    const Folder folder;
    Document document(a4, "", {});
    document.add_page();
    QrCode(text).draw(document, {40, 40}, 18);
    document.save(folder / "a.pdf");
    check_sound(folder / "a.pdf");
    CHECK(codes_on(folder / "a.pdf", 1) == std::vector<std::string>{text});
  }
}

TEST_CASE("Four modules around a code stay white and the code fills the rest") {
  const Folder folder;
  Document document(a4, "", {});
  document.add_page();
  // 12 characters of digits and hyphens at level M: version 1, 21 modules (ISO/IEC 18004 table 7).
  const double module = QrCode("26-014-03-24").draw(document, {40, 40}, 29);
  CHECK(module == Approx(1));
  document.save(folder / "a.pdf");
  const Picture picture = picture_of(folder / "a.pdf", 1, 254);  // ten dots to a module
  int left = picture.width, top = picture.height, right = 0, bottom = 0;
  for (int y = 0; y < picture.height; ++y)
    for (int x = 0; x < picture.width; ++x)
      if (picture.at(x, y) < 128) {
        left = std::min(left, x);
        right = std::max(right, x);
        top = std::min(top, y);
        bottom = std::max(bottom, y);
      }
  CHECK(left == Approx(440).margin(1));
  CHECK(top == Approx(440).margin(1));
  CHECK(right == Approx(649).margin(1));
  CHECK(bottom == Approx(649).margin(1));
  // The finder pattern's top edge is one run without seams.
  for (int x = 445; x < 505; ++x) CHECK(picture.at(x, 445) == 0);
}

TEST_CASE("A text that no code can hold is refused") {
  Document document(a4, "", {});
  document.add_page();
  const std::string text(5000, 'x');
  CHECK_THROWS_MATCHES(QrCode(text).draw(document, {0, 0}, 20), Error,
                       Message("The code \"" + text + "\" cannot be printed as a QR code."));
}
