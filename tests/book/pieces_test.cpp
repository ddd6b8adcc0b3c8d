// Pieces that are scrapped, go their own way or come back.
#include "shop.h"

using namespace shop;

namespace {

using Number = std::optional<std::int64_t>;

// Batch 26-001 of four pieces, all signed off.
struct Signed : Stocked {
  Signed() {
    write(coat("26-001", "F1"));
    signed_by = write("sign-off", sign_off("26-001", {1, 2, 3, 4}).body());
  }
  book::PieceState piece(int number) {
    CHECK(problems_of(book()).empty());
    return pieces_of(book(), "26-001").at(static_cast<std::size_t>(number - 1));
  }
  Number left_here() {
    return book().sql().number("SELECT left_here FROM open_batch WHERE batch = '26-001'");
  }
  std::int64_t signed_by;
};

}  // namespace

TEST_CASE("pieces: a scrapped piece is not here and its sign-off is gone until that is struck") {
  Signed shop;
  const auto entry = shop.write("scrap", scrap("26-001", {2, 4}).body());
  CHECK(shop.piece(2).scrapped == entry);
  CHECK_FALSE(shop.piece(2).signed_off);
  CHECK_FALSE(shop.piece(2).here());
  CHECK(shop.piece(1).signed_off == shop.signed_by);
  CHECK(shop.piece(1).here());
  CHECK(shop.left_here() == 2);
  CHECK(scraps_of(shop.book(), "26-001").at(0).why == "split at the end");
  CHECK(scraps_of(shop.book(), "26-001").at(0).pieces == std::vector{2, 4});
  SECTION("struck") {
    shop.strike(entry);
    CHECK_FALSE(shop.piece(2).scrapped);
    CHECK(shop.piece(2).signed_off == shop.signed_by);  // nothing that it rests on was amended
    CHECK(shop.left_here() == 4);
    CHECK(scraps_of(shop.book(), "26-001").empty());
  }
  SECTION("corrected to another piece") {
    shop.correct(entry, scrap("26-001", {3}).body());
    CHECK(shop.piece(2).signed_off == shop.signed_by);
    CHECK(shop.piece(3).scrapped == entry);
    CHECK_FALSE(shop.piece(3).signed_off);
    CHECK(shop.left_here() == 3);
  }
  SECTION("the rest scrapped or given") {
    shop.write("scrap", scrap("26-001", {1}).body());
    shop.give("26-001", {3});
    CHECK(open_batches(shop.book()).empty());
    CHECK_FALSE(shop.left_here());
  }
}

TEST_CASE("pieces: a piece that is split off is here to be signed off anew") {
  Signed shop;
  shop.write("tin", tin("F2", "finish").body());
  const auto entry = shop.write("split", split("26-001", {3}, {"F2"}).body());
  CHECK(shop.piece(3).turn == entry);
  CHECK_FALSE(shop.piece(3).signed_off);
  CHECK(shop.piece(3).here());
  CHECK_FALSE(shop.piece(1).turn);
  CHECK(shop.piece(1).signed_off == shop.signed_by);
  CHECK(shop.left_here() == 4);
  const auto turns = turns_of(shop.book(), "26-001");
  REQUIRE(turns.size() == 1);
  CHECK(turns[0].entry == entry);
  CHECK(turns[0].kind == Turn::Kind::split);
  CHECK(turns[0].finish == std::vector<std::string>{"F2"});
  CHECK(turns[0].schedule->steps.size() == 2);
  // The tin bears on the batch from now on.
  CHECK(batches_touched(shop.book(), {"F2"}) == std::vector<std::string>{"26-001"});

  const auto anew = shop.write("sign-off", sign_off("26-001", {3}).body());
  CHECK(shop.piece(3).signed_off == anew);
  const auto later = shop.write("split", split("26-001", {3}, {"F1"}).body());
  CHECK(shop.piece(3).turn == later);
  shop.strike(later);
  CHECK(shop.piece(3).turn == entry);
  shop.strike(entry);
  CHECK_FALSE(shop.piece(3).turn);
  CHECK_FALSE(shop.piece(3).signed_off);  // its record was amended: to be signed anew
  CHECK(shop.piece(1).signed_off == shop.signed_by);
  CHECK(turns_of(shop.book(), "26-001").empty());
}

TEST_CASE("pieces: a piece that comes back is here again and not signed off") {
  Signed shop;
  const auto gift = shop.give("26-001", {1, 2, 3, 4});
  CHECK(open_batches(shop.book()).empty());
  const auto entry = shop.write("take-back", take_back("26-001", {2}).body());
  CHECK_FALSE(shop.piece(2).given);
  CHECK_FALSE(shop.piece(2).signed_off);
  CHECK(shop.piece(2).turn == entry);
  CHECK(shop.piece(2).here());
  CHECK(shop.piece(1).given == gift);
  CHECK(shop.left_here() == 1);
  CHECK(open_batches(shop.book()) == std::vector<std::string>{"26-001"});
  CHECK(turns_of(shop.book(), "26-001").at(0).kind == Turn::Kind::take_back);
  SECTION("and is given again") {
    shop.write("sign-off", sign_off("26-001", {2}).body());
    const auto second = shop.give("26-001", {2});
    CHECK(shop.piece(2).given == second);
    CHECK_FALSE(shop.left_here());
    shop.strike(second);
    CHECK_FALSE(shop.piece(2).given);  // the first gift stays taken back
  }
  SECTION("unless that is struck") {
    const auto strike = shop.strike(entry);
    CHECK(shop.piece(2).given == gift);
    CHECK_FALSE(shop.piece(2).turn);
    CHECK(open_batches(shop.book()).empty());
    shop.strike(strike);
    CHECK(shop.piece(2).turn == entry);
    CHECK(shop.left_here() == 1);
  }
  SECTION("and is scrapped") {
    shop.write("scrap", scrap("26-001", {2}).body());
    CHECK_FALSE(shop.left_here());
    CHECK(shop.piece(2).turn == entry);
  }
  SECTION("to a place whose readings bear on the batch") {
    shop.write("place", Place{"house", "House", {}, {}}.body());
    CHECK(batches_at(shop.book(), "house").empty());
    Turn back = take_back("26-001", {1});
    back.place = "house";
    shop.write("take-back", back.body());
    CHECK(batches_at(shop.book(), "house") == std::vector<std::string>{"26-001"});
  }
}

TEST_CASE("pieces: turns come in the order in which they happened") {
  Signed shop;
  const auto late =
      shop.write("split", split("26-001", {1}, {"F1"}).body(), time("2026-03-02T10:00:00Z"));
  const auto early =
      shop.write("take-back", take_back("26-001", {1}).body(), time("2026-03-01T10:00:00Z"));
  const auto turns = turns_of(shop.book(), "26-001");
  REQUIRE(turns.size() == 2);
  CHECK(turns[0].entry == early);
  CHECK(turns[1].entry == late);
  CHECK(shop.piece(1).turn == early);  // the state goes by the order of the entries
}

TEST_CASE("pieces: an amended step reopens the pieces that it names or named") {
  Signed shop;
  const auto stands = [&] {
    std::string out;
    for (int number = 1; number <= 4; ++number)
      out += shop.piece(number).signed_off ? std::to_string(number) : "-";
    return out;
  };
  const auto sanded = shop.write(step("sand", "26-001"));
  const auto some = shop.write("coat", coat("26-001", "F1", {1, 2}).body());
  REQUIRE(stands() == "1234");
  SECTION("struck") {
    shop.strike(some);
    CHECK(stands() == "--34");
  }
  SECTION("corrected to others: those before and those now") {
    shop.correct(some, coat("26-001", "F1", {2, 3}).body());
    CHECK(stands() == "---4");
    const auto signed_again = shop.write("sign-off", sign_off("26-001", {1, 2, 3}).body());
    CHECK(shop.piece(1).signed_off == signed_again);
    shop.correct(some, coat("26-001", "F1", {2}).body());
    CHECK(stands() == "---4");  // whatever it has ever named
  }
  SECTION("corrected to name none: all of them") {
    shop.correct(some, coat("26-001", "F1").body());
    CHECK(stands() == "----");
  }
  SECTION("one that names none") {
    shop.strike(sanded);
    CHECK(stands() == "----");
  }
  SECTION("a split") {
    const auto off = shop.write("split", split("26-001", {1}, {"F1"}).body());
    shop.write("sign-off", sign_off("26-001", {1}).body());
    REQUIRE(stands() == "1234");
    shop.strike(off);
    CHECK(stands() == "-234");
  }
}

TEST_CASE("pieces: what is put on late reopens the sign-offs that it comes before") {
  Stocked shop;
  const auto noon = time("2026-02-01T12:00:00Z"), before = noon - Seconds(1);
  shop.write("sign-off", sign_off("26-001", {1, 2}).body(), noon);
  shop.write("sign-off", sign_off("26-001", {3}).body(), noon - Seconds(3600));
  const auto stands = [&] {
    CHECK(problems_of(shop.book()).empty());
    std::string out;
    for (const book::PieceState& piece : pieces_of(shop.book(), "26-001"))
      out += piece.signed_off ? std::to_string(piece.number) : "-";
    return out;
  };
  REQUIRE(stands() == "123-");
  const auto write = [&](const char* kind, std::vector<int> pieces, Instant when) {
    Step put_on = step(kind, "26-001");
    put_on.pieces = std::move(pieces);
    return shop.write(kind, put_on.body(), when);
  };
  SECTION("each kind that bears on when and what") {
    for (const char* kind : {"glue-up", "coat", "fit", "move"}) {
      const auto entry = write(kind, {2, 3}, before);
      INFO(kind);
      CHECK(stands() == "1-3-");
      shop.strike(entry);
      CHECK(stands() == "1---");  // and what was amended is signed anew
      shop.write("sign-off", sign_off("26-001", {1, 2}).body(), noon);
      shop.write("sign-off", sign_off("26-001", {3}).body(), noon - Seconds(3600));
    }
  }
  SECTION("all pieces where none is named") {
    write("coat", {}, before);
    CHECK(stands() == "--3-");
  }
  SECTION("not at the same moment nor later") {
    write("coat", {}, noon);
    CHECK(stands() == "123-");
  }
  SECTION("not what only works the surface") {
    for (const char* kind : {"sand", "raise-grain", "scuff", "inspect"}) write(kind, {}, before);
    CHECK(stands() == "123-");
  }
  SECTION("a look that finds a fault whenever it was") {
    Step look;
    look.kind = "inspect";
    look.batch = "26-001";
    look.pieces = {2};
    look.result = "sound";
    shop.write("inspect", look.body(), noon + Seconds(7200));
    REQUIRE(stands() == "123-");
    look.result = "not-sound";
    shop.write("inspect", look.body(), noon + Seconds(7200));
    CHECK(stands() == "1-3-");
  }
  SECTION("by when it really happened") {
    const auto entry = write("coat", {1}, noon + Seconds(60));
    REQUIRE(stands() == "123-");
    shop.write("correction", correction_body(entry, coat("26-001", "F1", {1}).body())
                                 .set("happened_at", iso(before))
                                 .set("happened_offset", std::int64_t{60}));
    CHECK(stands() == "-23-");
  }
  SECTION("by when the sign-off really happened") {
    const auto entry = shop.write("sign-off", sign_off("26-001", {4}).body(), noon);
    shop.write("correction", correction_body(entry, sign_off("26-001", {4}).body())
                                 .set("happened_at", iso(noon + Seconds(3600)))
                                 .set("happened_offset", std::int64_t{60}));
    write("coat", {4}, noon + Seconds(60));
    CHECK(stands() == "123-");
  }
}

TEST_CASE("pieces: those of a batch of more than a hundred come by number, and no other batch's") {
  Stocked shop;
  shop.write("batch", batch("26-100", 120, {"W1"}, {"F1"}).body());
  shop.write("batch", batch("26-1001", 2, {"W1"}, {"F1"}).body());
  const auto pieces = pieces_of(shop.book(), "26-100");
  REQUIRE(pieces.size() == 120);
  for (std::size_t i = 0; i < pieces.size(); ++i)
    CHECK(pieces[i].number == static_cast<int>(i) + 1);
  CHECK(pieces_of(shop.book(), "26-1001").size() == 2);
}
