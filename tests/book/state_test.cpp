#include "book/state.h"

#include "shop.h"

using namespace shop;

namespace {

std::vector<int> given_pieces(const Book& book, std::string_view batch) {
  std::vector<int> out;
  for (const book::PieceState& piece : pieces_of(book, batch))
    if (piece.given) out.push_back(piece.number);
  return out;
}

}  // namespace

TEST_CASE("state: a batch makes its pieces and stays open until the last has left") {
  Stocked shop;
  const auto pieces = pieces_of(shop.book(), "26-001");
  REQUIRE(pieces.size() == 4);
  for (int i = 0; i < 4; ++i) {
    CHECK(pieces[i].number == i + 1);
    CHECK(pieces[i].batch == "26-001");
    CHECK_FALSE(pieces[i].signed_off);
    CHECK_FALSE(pieces[i].given);
  }
  // ISO/IEC 7064 MOD 97-10: 98 less the remainder of 2600101 with two noughts behind.
  CHECK(pieces[0].code == "26-001-01-" + std::to_string(98 - 260010100 % 97));
  CHECK(find_piece(shop.book(), pieces[2].code)->number == 3);
  CHECK_FALSE(find_piece(shop.book(), "26-001-05-00"));

  CHECK(open_batches(shop.book()) == std::vector<std::string>{"26-001"});
  const auto first = shop.give("26-001", {2, 4});
  CHECK(given_pieces(shop.book(), "26-001") == std::vector<int>{2, 4});
  CHECK(pieces_of(shop.book(), "26-001")[1].given == first);
  CHECK(open_batches(shop.book()).size() == 1);
  shop.give("26-001", {1, 3});
  CHECK(open_batches(shop.book()).empty());
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("state: what was made is found by its id and by its class in the order made") {
  Lived shop;
  const Book& book = shop.book();
  CHECK(find_batch(book, "26-001")->entry == shop.batch_entry);
  CHECK(find_batch(book, "26-001")->schedule.steps.size() == 2);
  CHECK(find_tin(book, "F1")->amount == Amount{Amount::Measure::volume, 1'000'000});
  CHECK(find_tin(book, "G1")->stock == "glue");
  CHECK_FALSE(find_tin(book, "W1"));
  CHECK_FALSE(find_tin(book, "F9"));
  CHECK(find_wood(book, "W2")->species == "plum");
  CHECK(find_product(book, "P1")->name == "Example finish");
  CHECK(find_own_species(book, "plum")->botanical_name == "Prunus domestica");
  CHECK(find_place(book, "garage")->temp == Celsius{15'000});
  CHECK(workers(book).size() == 1);
  CHECK(workshop(book).maker == "Example Bench");
  CHECK(ids_of_class(book, "batch") == std::vector<std::string>{"26-001", "26-002"});
  CHECK(class_of(book, "F1") == "finish");
  CHECK(class_of(book, "F9").empty());
  REQUIRE(statements_on(book, {"W1", "F1"}).size() == 1);
  CHECK(book.file(statements_on(book, {"F1"})[0].file_sha256).value().size() == 17);
  CHECK(gifts_of(book, "26-001").size() == 1);
  CHECK(sign_offs_of(book, "26-001").at(0).pieces == std::vector<int>{1, 2, 3});
  CHECK(cards_of(book, "26-001").at(0).language == "en");
}

TEST_CASE("state: steps come in the order in which they happened") {
  Stocked shop;
  const auto late = shop.write("sand", step("sand", "26-001").body(), time("2026-03-02T10:00:00Z"));
  const auto early = shop.write("coat", coat("26-001", "F1").body(), time("2026-03-01T10:00:00Z"));
  const auto same =
      shop.write("inspect", step("inspect", "26-001").body(), time("2026-03-02T10:00:00Z"));
  std::vector<std::int64_t> order;
  for (const Step& step : steps_of(shop.book(), "26-001")) order.push_back(step.entry);
  CHECK(order == std::vector<std::int64_t>{early, late, same});
  CHECK(steps_of(shop.book(), "26-001")[0].drawn[0].tin == "F1");
  CHECK(steps_of(shop.book(), "26-002").empty());
}

TEST_CASE("state: rags stay open until they are confirmed and come back when that is struck") {
  Stocked shop;
  const auto one = shop.write(coat("26-001", "F1", {1}, true));
  const auto two = shop.write(coat("26-001", "F1", {2}, true));
  shop.write(coat("26-001", "F1", {3}, false));
  using Rags = std::vector<std::pair<std::int64_t, std::string>>;
  CHECK(all_open_rags(shop.book()) == Rags{{one, "26-001"}, {two, "26-001"}});
  const auto done = shop.write("rags-done", RagsDone{"26-001", {one}}.body());
  CHECK(open_rags(shop.book(), "26-001") == std::vector<std::int64_t>{two});
  shop.strike(done);
  CHECK(open_rags(shop.book(), "26-001") == std::vector<std::int64_t>{one, two});
  shop.strike(two);
  CHECK(open_rags(shop.book(), "26-001") == std::vector<std::int64_t>{one});
  CHECK(open_rags(shop.book(), "26-002").empty());
}

TEST_CASE("state: settings and places stated anew count from then on and fall back when struck") {
  Stocked shop;
  const auto anew = shop.write("place", Place{"garage", "Garage", Celsius{9'000}, {}}.body());
  Workshop moved = workshop(shop.book());
  moved.maker = "Other Bench";
  const auto named = shop.write("workshop", moved.body());
  CHECK(find_place(shop.book(), "garage")->temp == Celsius{9'000});
  CHECK(places(shop.book()).size() == 1);
  CHECK(workshop(shop.book()).maker == "Other Bench");
  CHECK(workshop_entry(shop.book()) == named);
  shop.strike(anew);
  shop.strike(named);
  CHECK(find_place(shop.book(), "garage")->temp == Celsius{15'000});
  CHECK(workshop(shop.book()).maker == "Example Bench");
  CHECK(workshop_entry(shop.book()) == 1);
}

TEST_CASE("state: the pieces of a sign-off are signed off and no others") {
  Stocked shop;
  const auto entry = shop.write("sign-off", sign_off("26-001", {2, 3}).body());
  const auto pieces = pieces_of(shop.book(), "26-001");
  CHECK_FALSE(pieces[0].signed_off);
  CHECK(pieces[1].signed_off == entry);
  CHECK(pieces[2].signed_off == entry);
  CHECK_FALSE(pieces[3].signed_off);
}

TEST_CASE("state: the history of an id holds struck entries and amendments by their target") {
  Stocked shop;
  const auto first = shop.write(coat("26-001", "F1", {1}));
  const auto strike = shop.strike(first);
  shop.write(step("sand", "26-001"));
  std::vector<std::int64_t> of_tin;
  for (const book::Effective& e : history_of(shop.book(), "F1")) of_tin.push_back(e.entry.number);
  CHECK(of_tin == std::vector<std::int64_t>{shop.finish_tin, shop.batch_entry, first});
  CHECK(history_of(shop.book(), "F1").back().struck_by == strike);
  CHECK(history_of(shop.book(), pieces_of(shop.book(), "26-001")[0].code).size() == 1);
  const auto amending = amendments_of(shop.book(), first);
  REQUIRE(amending.size() == 1);
  CHECK(amending[0].number == strike);
  CHECK(amendments_of(shop.book(), shop.finish_tin).empty());
}

TEST_CASE("state: what was drawn from a tin is added up by measure over effective steps") {
  Stocked shop;
  Step twice = coat("26-001", "F1");  // 50 ml
  twice.drawn.push_back({"F1", Amount{Amount::Measure::mass, 700}, true});
  twice.drawn.push_back({"F2", Amount{Amount::Measure::volume, 9}, false});
  twice.drawn.push_back({"F1", {}, false});
  shop.write(twice);
  const auto struck = shop.write(coat("26-001", "F1"));
  const auto corrected = shop.write(coat("26-001", "F1"));
  shop.strike(struck);
  Step less = coat("26-001", "F1");
  less.drawn[0].amount->value = 1'000;
  shop.correct(corrected, less.body());
  const book::DrawnSum sum = drawn_from(shop.book(), "F1");
  CHECK(sum.ul == 51'000);
  CHECK(sum.mg == 700);
  CHECK(drawn_from(shop.book(), "F3").ul == 0);
}

TEST_CASE(
    "state: a tin is open from the first that took from it, as corrections and strikes leave it") {
  Stocked shop;
  const auto opened = [&] {
    const auto at = find_tin(shop.book(), "F1")->opened;
    return at ? std::optional(at->at) : std::nullopt;
  };
  const Instant begun = instant_from_iso("2026-12-01T08:00:00Z");
  const auto later = [&](int hours) { return begun + Seconds(3600 * hours); };
  CHECK(!opened());
  shop.write("coat", coat("26-001", "F1").body(), later(5));
  CHECK(opened() == later(5));
  const auto first = shop.write("coat", coat("26-001", "F1").body(), later(2));  // entered late
  const auto on_its_own = shop.write("open", Json::object().set("tin", "F1"), later(3));
  CHECK(opened() == later(2));
  CHECK(problems_of(shop.book()).empty());
  shop.strike(first);
  CHECK(opened() == later(3));
  Json moved = correction_body(on_its_own, Json::object().set("tin", "F1"));
  moved.set("happened_at", iso(later(1))).set("happened_offset", 60);
  shop.write("correction", moved);
  CHECK(opened() == later(1));
  shop.write("mix", mix("F9", "finish", {"F1"}).body(), later(0));
  CHECK(opened() == later(0));
  CHECK(find_tin(shop.book(), "F9")->opened == std::nullopt);  // what made it does not open it
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("state: the numbers of ids count up by prefix") {
  Stocked shop;
  CHECK(next_number(shop.book(), "F") == 2);
  CHECK(next_number(shop.book(), "G") == 1);
  CHECK(next_number(shop.book(), "26-") == 2);
  shop.write("batch", batch("26-1014", 1, {"W1"}, {}).body());
  shop.write("batch", batch("27-001", 1, {"W1"}, {}).body());
  CHECK(next_number(shop.book(), "26-") == 1015);
  CHECK(next_number(shop.book(), "27-") == 2);
}
