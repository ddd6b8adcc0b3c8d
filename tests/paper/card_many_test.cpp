#include <catch2/catch.hpp>
#include <map>

#include "paper/document.h"
#include "samples.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;

namespace {

const CardOptions on_a6{a4, a6, print_time};

// As the workshop of the demo prints them: two woods, one finish, front and back.
CardContent usual_card(int batch) {
  CardContent card = full_card();
  card.size = std::to_string(300 + batch) + " × 250 × 22 mm";
  card.woods.resize(2);
  card.finishes.resize(1);
  card.maker = "Old Mill Boards";
  return card;
}

std::string code_of(int batch, int piece) {
  const auto two = [](int n) { return (n < 10 ? "0" : "") + std::to_string(n); };
  return "26-1" + two(batch) + "-" + two(piece) + "-" + two(10 + (batch * 7 + piece * 3) % 89);
}

// The batches' pieces, in order; what each file holds.
std::vector<std::string> files_of(const CardOptions& options, int batches, int pieces) {
  Cards cards(options);
  for (int batch = 0; batch < batches; ++batch) {
    const Cards::Design design = cards.design_of(usual_card(batch));
    for (int piece = 1; piece <= pieces; ++piece) cards.add(design, code_of(batch, piece));
  }
  std::vector<std::string> out;
  cards.write([&](std::size_t file, std::size_t files, const std::string& bytes) {
    CHECK(file == out.size());
    CHECK(files >= 1);
    out.push_back(bytes);
  });
  return out;
}

}  // namespace

// On this rests that cards of one design differ in nothing but the figures themselves.
TEST_CASE("cards: every figure is as wide as another") {
  const Document document(a4, "", {});
  for (const Face face : {Face::regular, Face::bold})
    for (char figure = '1'; figure <= '9'; ++figure)
      CHECK(document.width(std::string(1, figure), {face, 9}) == document.width("0", {face, 9}));
}

TEST_CASE("cards: what says the same but for the code has one design and anything else another") {
  Cards cards(on_a6);
  const auto first = cards.design_of(full_card());
  CardContent other = full_card();
  other.code = "26-014-77-90";
  CHECK(cards.design_of(other) == first);
  other.code = "126-014-77-90";  // another form takes other room
  CHECK(cards.design_of(other) != first);
  for (const auto& change : std::vector<std::function<void(CardContent&)>>{
           [](CardContent& c) { c.finished_on = "6 December 2026"; },
           [](CardContent& c) { c.language = "de"; },
           [](CardContent& c) { c.not_known.pop_back(); },
           [](CardContent& c) { c.used_before = true; },
           [](CardContent& c) { c.lines.pop_back(); }}) {
    CardContent changed = full_card();
    change(changed);
    CHECK(cards.design_of(changed) != first);
  }
}

TEST_CASE("cards: one of many looks as it does alone") {
  const Folder folder;
  std::vector<CardContent> all;
  for (const int batch : {1, 2})
    for (int piece = 1; piece <= 4; ++piece) {
      all.push_back(usual_card(batch));
      all.back().code = code_of(batch, piece);
    }
  write_cards(all, on_a6, folder / "all.pdf");
  check_sound(folder / "all.pdf");
  REQUIRE(pages_of(folder / "all.pdf") == 4);
  for (const int at : {0, 4}) {
    write_cards({all[at]}, on_a6, folder / "one.pdf");
    for (int side = 1; side <= 2; ++side) {
      const Picture among = picture_of(folder / "all.pdf", at / 2 + side, 150);
      const Picture alone = picture_of(folder / "one.pdf", side, 150);
      // The first card lies at the top: on the front left, behind it right.
      std::size_t other = 0, dark = 0;
      for (int y = 0; y < among.height / 2 - 8; ++y)
        for (int x = 8; x < among.width / 2 - 8; ++x) {
          const int at_x = side == 1 ? x : among.width - 1 - x;
          other += among.at(at_x, y) != alone.at(at_x, y);
          dark += alone.at(at_x, y) < 128;
        }
      CHECK(other == 0);
      CHECK(dark > 1000);
    }
  }
}

TEST_CASE("cards: each of many has its own code in words and as a QR code on both sides") {
  const Folder folder;
  const std::vector<std::string> files = files_of(on_a6, 3, 10);
  REQUIRE(files.size() == 1);
  write_file_whole(folder / "c.pdf", files[0]);
  REQUIRE(pages_of(folder / "c.pdf") == 16);
  const std::string text = text_of(folder / "c.pdf");
  std::map<std::string, int> read;
  for (int page = 1; page <= 16; ++page)
    for (const std::string& code : codes_on(folder / "c.pdf", page)) ++read[code];
  CHECK(read.size() == 30);
  for (int batch = 0; batch < 3; ++batch)
    for (int piece = 1; piece <= 10; ++piece) {
      const std::string code = code_of(batch, piece);
      CHECK(read[code] == 2);
      const std::size_t first = text.find(code);
      CHECK(first != std::string::npos);
      CHECK(text.find(code, first + 1) != std::string::npos);
    }
}

TEST_CASE("cards: a thousand take at most 1200 bytes each with their backs") {
  const std::vector<std::string> files = files_of(on_a6, 100, 10);
  REQUIRE(files.size() == 1);
  CHECK(files[0].size() <= 1'200'000);
  CHECK(files[0].size() > 300'000);
}

TEST_CASE("cards: more than a ream holds go on in the next file") {
  const Folder folder;
  const std::vector<std::string> files = files_of({a4, a5, print_time}, 13, 99);  // two a sheet
  REQUIRE(files.size() == 2);
  int last = 0;
  for (std::size_t file = 0; file < 2; ++file) {
    write_file_whole(folder / "c.pdf", files[file]);
    check_sound(folder / "c.pdf");
    const std::string text = text_of(folder / "c.pdf");
    int cards = 0;
    for (; last < 13 * 99; ++last, ++cards)
      if (text.find(code_of(last / 99, last % 99 + 1)) == std::string::npos) break;
    CHECK(cards == (file == 0 ? 1000 : 287));
  }
  CHECK(last == 13 * 99);
}
