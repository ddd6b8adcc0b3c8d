// Photographs read and made plain. Checked by the JPEG library itself, by the markers in the file
// (ITU-T T.81 table B.1), and by poppler's pdfimages.
#include "paper/picture.h"

#include <catch2/catch.hpp>
#include <random>
#include <set>

#include "domain/error.h"
#include "jpegs.h"
#include "paper/document.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;

namespace {

constexpr Colour red{220, 30, 30}, green{30, 160, 40}, blue{40, 50, 200}, pale{240, 240, 220};

// A quarter of each colour, from the top left.
Painter quarters(int width, int height) {
  return [=](int x, int y) {
    return y < height / 2 ? (x < width / 2 ? red : green) : (x < width / 2 ? blue : pale);
  };
}

void check_near(const Colour& is, const Colour& wanted, int most = 14) {
  for (std::size_t part = 0; part < 3; ++part) {
    INFO("part " << part << ": " << is[part] << ", wanted " << wanted[part]);
    CHECK(std::abs(is[part] - wanted[part]) <= most);
  }
}

void check_quarters(const Decoded& picture) {
  const int w = picture.width, h = picture.height;
  check_near(picture.at(w / 4, h / 4), red);
  check_near(picture.at(3 * w / 4, h / 4), green);
  check_near(picture.at(w / 4, 3 * h / 4), blue);
  check_near(picture.at(3 * w / 4, 3 * h / 4), pale);
}

// The markers up to the first scan.
std::set<int> markers_of(const std::string& jpeg) {
  std::set<int> out;
  for (std::size_t at = 2; at + 4 <= jpeg.size();) {
    REQUIRE(static_cast<unsigned char>(jpeg[at]) == 0xFF);
    const int marker = static_cast<unsigned char>(jpeg[at + 1]);
    out.insert(marker);
    if (marker == 0xDA) break;
    at += 2 + static_cast<unsigned char>(jpeg[at + 2]) * 256u +
          static_cast<unsigned char>(jpeg[at + 3]);
  }
  return out;
}

// Nothing, or the sentence of the refusal; anything else fails the test.
std::string refusal_of(const std::string& jpeg) {
  try {
    plain_picture(jpeg, 300);
    return {};
  } catch (const Error& error) {
    CHECK(error.kind() == Error::Kind::request);
    return error.what();
  }
}

std::string with_size(std::string jpeg, int width, int height) {
  const auto at = jpeg.find("\xFF\xC0");  // SOF0: length, precision, height, width
  REQUIRE(at != std::string::npos);
  const auto put = [&](std::size_t where, int value) {
    jpeg[where] = static_cast<char>(value >> 8);
    jpeg[where + 1] = static_cast<char>(value & 0xFF);
  };
  put(at + 5, height);
  put(at + 7, width);
  return jpeg;
}

JpegWish plain_wish(int width, int height) { return {width, height, quarters(width, height)}; }

}  // namespace

TEST_CASE("a picture comes out upright, whichever way it was stored") {
  constexpr int width = 128, height = 96;
  const Painter upright = quarters(width, height);
  // EXIF 2.3, 4.6.4 A, tag 274: where the stored picture's 0th row and 0th column are seen. So the
  // pixel of a row and column of the stored picture is seen at:
  const auto seen = [](int orientation, int row, int column) -> std::pair<int, int> {
    switch (orientation) {
      case 2:  // row 0 top, column 0 right
        return {width - 1 - column, row};
      case 3:  // bottom, right
        return {width - 1 - column, height - 1 - row};
      case 4:  // bottom, left
        return {column, height - 1 - row};
      case 5:  // left, top
        return {row, column};
      case 6:  // right, top
        return {width - 1 - row, column};
      case 7:  // right, bottom
        return {width - 1 - row, height - 1 - column};
      case 8:  // left, bottom
        return {row, height - 1 - column};
      default:
        return {column, row};
    }
  };
  for (int orientation = 0; orientation <= 9; ++orientation)
    for (const bool little : {true, false}) {
      INFO("orientation " << orientation << (little ? " II" : " MM"));
      const bool turned = orientation >= 5 && orientation <= 8;
      JpegWish wish{turned ? height : width, turned ? width : height,
                    [&](int x, int y) {
                      const auto [column, row] = seen(orientation, y, x);
                      return upright(column, row);
                    },
                    exif(orientation, little)};
      const Decoded out = decoded(plain_picture(made_jpeg(wish), 1000));
      CHECK(out.width == width);
      CHECK(out.height == height);
      check_quarters(out);
    }
}

TEST_CASE("a picture is made smaller, never larger, and keeps its shape") {
  const std::string large = made_jpeg(plain_wish(1000, 600));
  const Decoded out = decoded(plain_picture(large, 300));
  CHECK(out.width == 300);
  CHECK(out.height == 180);
  check_quarters(out);
  const Decoded same = decoded(plain_picture(large, 4000));
  CHECK(same.width == 1000);
  CHECK(same.height == 600);
  // A strip of one pixel's height stays one.
  const Decoded strip = decoded(plain_picture(made_jpeg({400, 1, quarters(400, 1)}), 20));
  CHECK(strip.width == 20);
  CHECK(strip.height == 1);
}

TEST_CASE("a pixel of the small picture is the mean of those under it") {
  const auto squares = [](int x, int y) -> Colour {
    return (x / 8 + y / 8) % 2 ? Colour{255, 255, 255} : Colour{0, 0, 0};
  };
  const Decoded out = decoded(plain_picture(made_jpeg({640, 640, squares}), 40));
  for (int at = 4; at < 36; at += 5) check_near(out.at(at, at), {128, 128, 128}, 6);
}

TEST_CASE("nothing but the pixels goes out") {
  JpegWish wish = plain_wish(320, 240);
  wish.app1 = exif(6);
  wish.comment = "taken by a phone at home";
  const std::string jpeg = made_jpeg(wish);
  REQUIRE(jpeg.find("GPS 51.4778") != std::string::npos);
  const std::string plain = plain_picture(jpeg, 200);
  for (const char* gone : {"Exif", "GPS", "51.4778", "phone", "home", "abc"})
    CHECK(plain.find(gone) == std::string::npos);
  // JFIF, tables, baseline frame, scan.
  const std::set<int> markers = markers_of(plain);
  CHECK(markers == std::set<int>{0xE0, 0xDB, 0xC0, 0xC4, 0xDA});
  CHECK(decoded(plain).components == 3);
}

TEST_CASE("progressive, grey and CMYK pictures come out as baseline RGB") {
  JpegWish wish = plain_wish(256, 192);
  SECTION("progressive") {
    wish.progressive = true;
    check_quarters(decoded(plain_picture(made_jpeg(wish), 256)));
  }
  SECTION("CMYK with Adobe's marker, inks inverted") {
    wish.inks = true;
    check_quarters(decoded(plain_picture(made_jpeg(wish), 256)));
  }
  SECTION("CMYK without it") {
    wish.inks = true;
    wish.adobe = false;
    check_quarters(decoded(plain_picture(made_jpeg(wish), 256)));
  }
  SECTION("grey") {
    wish.grey = true;
    const Decoded out = decoded(plain_picture(made_jpeg(wish), 256));
    CHECK(out.components == 3);
    check_near(out.at(20, 20), {red[0], red[0], red[0]});
    check_near(out.at(200, 20), {green[0], green[0], green[0]});
  }
  CHECK(markers_of(plain_picture(made_jpeg(wish), 256)).contains(0xC0));
}

TEST_CASE("a picture cut off anywhere is refused") {
  for (const bool progressive : {false, true}) {
    JpegWish wish = plain_wish(64, 48);
    wish.progressive = progressive;
    wish.app1 = exif(3);
    const std::string whole = made_jpeg(wish);
    CHECK(refusal_of(whole).empty());
    for (std::size_t length = 0; length < whole.size(); ++length) {
      INFO((progressive ? "progressive " : "baseline ") << length << " of " << whole.size());
      CHECK_FALSE(refusal_of(whole.substr(0, length)).empty());
    }
  }
}

TEST_CASE("a damaged picture is refused or read, and does no harm") {
  std::mt19937 random(20261126);
  for (const bool progressive : {false, true}) {
    JpegWish wish = plain_wish(64, 48);
    wish.progressive = progressive;
    wish.app1 = exif(8);
    const std::string whole = made_jpeg(wish);
    int refused = 0;
    for (int round = 0; round < 1500; ++round) {
      std::string bytes = whole;
      for (int i = 0; i < 1 + round % 4; ++i)
        bytes[random() % bytes.size()] = static_cast<char>(random());
      refused += !refusal_of(bytes).empty();
    }
    CHECK(refused > 100);
  }
}

TEST_CASE("an EXIF segment that lies is passed over") {
  std::mt19937 random(7);
  const std::string good = exif(6);
  for (int round = 0; round < 400; ++round) {
    JpegWish wish = plain_wish(48, 32);
    wish.app1 = good.substr(0, 6 + random() % (good.size() - 6));
    for (std::size_t at = 6; at < wish.app1.size(); ++at)
      if (random() % 4 == 0) wish.app1[at] = static_cast<char>(random());
    CHECK(refusal_of(made_jpeg(wish)).empty());
  }
}

TEST_CASE("what is no JPEG is refused by name") {
  for (const std::string& bytes :
       {std::string("\x89PNG\r\n\x1A\n and so on"), std::string("%PDF-1.4"), std::string("GIF89a"),
        std::string(5000, '\0'), std::string("\xFF\xD8\xFF", 3), std::string("\xFF\xD8", 2)})
    CHECK_THROWS_WITH(demand_picture(bytes, "board.jpg"),
                      Catch::StartsWith("board.jpg cannot be taken as a picture: "));
}

TEST_CASE("a picture has a size that can be shown and held") {
  const auto refusal = [](const std::string& jpeg) -> std::string {
    try {
      demand_picture(jpeg, "board.jpg");
      return {};
    } catch (const Error& error) {
      return error.what();
    }
  };
  CHECK(refusal(made_jpeg(plain_wish(200, 200))).empty());
  CHECK(refusal(made_jpeg(plain_wish(199, 400))) ==
        "board.jpg has 199 × 400 pixels; a side has at least 200.");
  CHECK(refusal(made_jpeg(plain_wish(400, 199))) ==
        "board.jpg has 400 × 199 pixels; a side has at least 200.");
  const std::string small = made_jpeg(plain_wish(64, 64));
  for (const auto& [width, height] :
       {std::pair{12001, 300}, {300, 12001}, {65000, 65000}, {8001, 8000}})
    CHECK_THAT(refusal(with_size(small, width, height)),
               Catch::Contains("more than 12000 on a side or 64 million in all"));
  // The largest that may be is looked into, and found to lack its pixels.
  CHECK_THAT(refusal(with_size(small, 12000, 400)), Catch::Contains("cannot be taken"));
  // Upright.
  JpegWish lying = plain_wish(300, 220);
  lying.app1 = exif(6);
  const PixelSize size = demand_picture(made_jpeg(lying), "board.jpg");
  CHECK(size.width == 220);
  CHECK(size.height == 300);
}

TEST_CASE("a file of endless scans is not read to its end") {
  JpegWish wish = plain_wish(64, 48);
  wish.scans.push_back({3, {0, 1, 2}, 0, 0, 0, 0});
  for (int part = 0; part < 3; ++part)
    for (int k = 1; k <= 63; ++k) {
      wish.scans.push_back({1, {part}, k, k, 0, 1});
      wish.scans.push_back({1, {part}, k, k, 1, 0});
    }
  CHECK_THAT(refusal_of(made_jpeg(wish)), Catch::Contains("more than 200 scans"));
}

TEST_CASE("a PDF holds a picture once, in its own shape") {
  const Folder folder;
  const auto path = folder / "picture.pdf";
  const std::string plain = plain_picture(made_jpeg({240, 240,
                                                     [](int, int) {
                                                       return Colour{0, 0, 0};
                                                     }}),
                                          200);
  Document document(a4, "A picture", {});
  document.add_page();
  document.picture({20, 20, 100, 40}, plain);
  document.picture({20, 100, 40, 100}, plain);
  document.save(path);
  check_sound(path);
  std::istringstream lines(poppler("pdfimages -list " + path.string()));
  std::vector<std::string> rows;
  for (std::string line; std::getline(lines, line);) rows.push_back(line);
  REQUIRE(rows.size() == 4);  // two of heading, and a row each time that it is drawn
  std::set<std::string> objects;
  for (std::size_t i = 2; i < rows.size(); ++i) {
    std::istringstream row(rows[i]);
    std::string page, number, type, width, height, colour, parts, bits, encoding, smooth, object;
    row >> page >> number >> type >> width >> height >> colour >> parts >> bits >> encoding >>
        smooth >> object;
    CHECK(type == "image");
    CHECK(width == "200");
    CHECK(height == "200");
    CHECK(colour == "rgb");
    CHECK(bits == "8");
    CHECK(encoding == "jpeg");
    objects.insert(object);
  }
  CHECK(objects.size() == 1);
  // 40 mm square in the middle of the first place, and in the middle of the second.
  const Picture page = picture_of(path, 1, 254);  // ten dots to the millimetre
  CHECK(page.at(700, 400) < 20);
  CHECK(page.at(520, 400) < 20);
  CHECK(page.at(480, 400) > 235);
  CHECK(page.at(920, 400) > 235);
  CHECK(page.at(400, 1500) < 20);
  CHECK(page.at(400, 1280) > 235);
  CHECK(page.at(400, 1720) > 235);
}

TEST_CASE("the PDF library's refusal of a picture is an error") {
  Document document(a4, "A picture", {});
  document.add_page();
  CHECK_THROWS_AS(document.picture({0, 0, 10, 10}, "no picture at all"), Error);
}
