// What entries made wrong, until somebody has dealt with it.
#include "domain/text.h"
#include "shop.h"

using namespace shop;

namespace {

// Both pieces of 26-002 signed off, with a card, and given.
struct Told : Stocked {
  Told() {
    write("batch", batch("26-002", 2, {"W1"}, {"F1"}).body());
    coat_entry = write(coat("26-002", "F1"));
    write("sign-off", sign_off("26-002", {1, 2}).body());
    write("card", card("26-002", {1, 2}).body());
    give("26-002", {1, 2});
  }
  // An entry that says that all of it is wrong for both.
  static Json all() {
    MadeWrong out;
    out.batch = "26-002";
    out.sign_off = out.card = out.left = {1, 2};
    return Json::array().push(out.json());
  }
  std::int64_t write_wrong(const char* kind, Json body) {
    return write(kind, body.set("affected", all()));
  }
  // What is open of an entry, as "1 card; 2 gift".
  std::string open(std::int64_t entry) {
    CHECK(problems_of(book()).empty());
    std::vector<std::string> out;
    for (const book::OpenWrong& wrong : open_wrongs(book())) {
      const auto piece = find_piece(book(), wrong.piece);
      REQUIRE(piece);
      if (wrong.entry == entry) out.push_back(std::to_string(piece->number) + " " + wrong.what);
    }
    std::sort(out.begin(), out.end());
    return join(out, "; ");
  }
  std::int64_t coat_entry;
};

const std::string everything = "1 card; 1 gift; 1 sign-off; 2 card; 2 gift; 2 sign-off";

}  // namespace

TEST_CASE("made wrong: a correction or strike or reading or paper that carries it opens it") {
  Told shop;
  const auto sample = readings("garage", {{0, shop.tick(), {15'000}, {}}}).body();
  for (const auto& [kind, body] :
       {std::pair{"correction", correction_body(shop.coat_entry, coat("26-002", "F1").body())},
        {"strike", strike_body(shop.coat_entry)},
        {"readings", sample},
        {"statement", statement("F1")}}) {
    INFO(kind);
    const auto plain = shop.write(kind, body);
    CHECK(shop.open(plain).empty());
    const auto entry = shop.write_wrong(kind, body);
    CHECK(shop.open(entry) == everything);
    shop.strike(entry);
    shop.strike(plain);
  }
  CHECK(open_wrongs(shop.book()).empty());
}

TEST_CASE("made wrong: only the lists that an entry carries are opened for the pieces in them") {
  Told shop;
  MadeWrong one;
  one.batch = "26-002";
  one.card = {2};
  MadeWrong other;
  other.batch = "26-001";
  other.sign_off = {3};
  other.left = {1};
  const auto entry = shop.write(
      "statement",
      statement("F1").set("affected", Json::array().push(one.json()).push(other.json())));
  const auto open = open_wrongs(shop.book());
  REQUIRE(open.size() == 3);
  const auto code = [&](const char* batch, std::size_t number) {
    return pieces_of(shop.book(), batch).at(number - 1).code;
  };
  CHECK(open[0].entry == entry);
  CHECK(open[0].what == "card");
  CHECK(open[0].piece == code("26-002", 2));
  CHECK(open[1].what == "gift");
  CHECK(open[1].piece == code("26-001", 1));
  CHECK(open[2].what == "sign-off");
  CHECK(open[2].piece == code("26-001", 3));
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("made wrong: each is settled by what does it anew and comes back when that is struck") {
  Told shop;
  const auto entry = shop.write_wrong("statement", statement("F1"));
  const auto other = shop.write_wrong("strike", strike_body(entry - 1));  // the gift
  REQUIRE(shop.open(entry) == everything);
  const auto settled = [&](const char* kind, const Json& body) {
    const auto done = shop.write(kind, body);
    const std::string left = shop.open(entry);
    CHECK(shop.open(other) == left);
    shop.strike(done);
    CHECK(shop.open(entry) == everything);
    return left;
  };
  CHECK(settled("card", card("26-002", {1}).body()) ==
        "1 gift; 1 sign-off; 2 card; 2 gift; 2 sign-off");
  CHECK(settled("sign-off", sign_off("26-002", {2}).body()) ==
        "1 card; 1 gift; 1 sign-off; 2 card; 2 gift");
  CHECK(settled("take-back", take_back("26-002", {1}).body()) ==
        "1 card; 1 sign-off; 2 card; 2 gift; 2 sign-off");
  CHECK(settled("scrap", scrap("26-002", {1}).body()) == "2 card; 2 gift; 2 sign-off");
  CHECK(settled("split", split("26-002", {1}, {"F1"}).body()) == everything);
  // A wrong card that leaves with the board is for its new owner to hear of.
  CHECK(settled("give", gift("26-002", {1}, shop.keep("Kim Example")).body()) ==
        "1 gift; 1 sign-off; 2 card; 2 gift; 2 sign-off");
  CHECK(settled("card", card("26-001", {1, 2}).body()) == everything);
}

TEST_CASE("made wrong: saying that it was dealt with settles all of that entry for the piece") {
  Told shop;
  const auto entry = shop.write_wrong("statement", statement("F1"));
  const auto other = shop.write_wrong("statement", statement("F1"));
  const auto done = shop.write("dealt", dealt(entry, "26-002", {2}).body());
  CHECK(shop.open(entry) == "1 card; 1 gift; 1 sign-off");
  CHECK(shop.open(other) == everything);
  shop.write("dealt", dealt(entry, "26-002", {1}).body());
  CHECK(shop.open(entry).empty());
  shop.strike(done);
  CHECK(shop.open(entry) == "2 card; 2 gift; 2 sign-off");
  CHECK(history_of(shop.book(), "entry:" + std::to_string(entry)).size() == 2);
}

TEST_CASE("made wrong: what was done before does not settle what is found later") {
  Told shop;
  shop.write("card", card("26-002", {1, 2}).body());
  const auto entry = shop.write_wrong("statement", statement("F1"));
  CHECK(shop.open(entry) == everything);
  shop.write("dealt", dealt(entry, "26-002", {1, 2}).body());
  const auto again = shop.write_wrong("statement", statement("F1"));
  CHECK(shop.open(again) == everything);
}

TEST_CASE("made wrong: with the amendment struck nothing of it is wrong") {
  Told shop;
  const auto entry =
      shop.write_wrong("correction", correction_body(shop.coat_entry, coat("26-002", "F1").body()));
  REQUIRE(shop.open(entry) == everything);
  const auto strike = shop.strike(entry);
  CHECK(open_wrongs(shop.book()).empty());
  shop.strike(strike);
  CHECK(shop.open(entry) == everything);
}

TEST_CASE("made wrong: a piece that is no more has nothing wrong") {
  Told shop;
  const auto begun = shop.write("batch", batch("26-003", 3, {"W1"}, {"F1"}).body());
  MadeWrong wrong;
  wrong.batch = "26-003";
  wrong.card = {1, 3};
  const auto paper = statement("F1").set("affected", Json::array().push(wrong.json()));
  const auto entry = shop.write("statement", paper);
  REQUIRE(shop.open(entry) == "1 card; 3 card");
  const Json fewer = batch("26-003", 2, {"W1"}, {"F1"}).body();
  if (would_vanish(shop.book(), begun, &fewer).empty()) {  // where it is not refused
    shop.correct(begun, fewer);
    CHECK(shop.open(entry) == "1 card");
  }
}
