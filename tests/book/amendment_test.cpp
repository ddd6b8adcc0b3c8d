#include "shop.h"

using namespace shop;

namespace {

// Two batches of one wood and one tin each, with a second tin, both signed off whole.
struct Signed : Stocked {
  Signed() {
    write("tin", tin("F2", "finish").body());
    other_wood = write("wood", wood("W2").body());
    other_batch = write("batch", batch("26-002", 2, {"W2"}, {"F2"}).body());
    coat_entry = write(coat("26-001", "F1"));
    other_coat = write(coat("26-002", "F2"));
    sign();
  }
  void sign() {
    write("sign-off", sign_off("26-001", {1, 2, 3, 4}).body());
    write("sign-off", sign_off("26-002", {1, 2}).body());
  }
  bool stands(std::string_view batch) {
    int count = 0;
    const auto pieces = pieces_of(book(), batch);
    for (const book::PieceState& piece : pieces) count += piece.signed_off.has_value();
    CHECK((count == 0 || count == static_cast<int>(pieces.size())));
    return count > 0;
  }
  // Which of the two sign-offs stand.
  std::string standing() {
    CHECK(problems_of(book()).empty());
    return std::string(stands("26-001") ? "1" : "-") + (stands("26-002") ? "2" : "-");
  }
  std::int64_t other_wood, other_batch, coat_entry, other_coat;
};

std::vector<std::string> vanishing(const Book& book, std::int64_t number,
                                   const Json* body = nullptr) {
  std::vector<std::string> out;
  for (const auto& [id, needed_by] : would_vanish(book, number, body))
    out.push_back(id + " for " + std::to_string(needed_by));
  return out;
}

using Names = std::vector<std::string>;

}  // namespace

TEST_CASE("amendment: a correction counts instead of the entry which stays as it was written") {
  Stocked shop;
  const auto number = shop.write(coat("26-001", "F1", {1}));
  const std::string own = shop.book().entry(number)->body, hash = shop.book().entry(number)->hash;
  const auto first = shop.correct(number, coat("26-001", "F1", {2}).body());
  const auto second = shop.correct(number, coat("26-001", "F1", {3}).body());
  const auto now = effective_entry(shop.book(), number).value();
  CHECK(Step::read("coat", now.body).pieces == std::vector<int>{3});
  CHECK(now.corrected_by == second);
  CHECK_FALSE(now.struck_by);
  CHECK(now.entry.body == own);
  CHECK(now.entry.hash == hash);
  CHECK(steps_of(shop.book(), "26-001").at(0).pieces == std::vector<int>{3});
  CHECK(amendments_of(shop.book(), number).at(0).number == first);
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("amendment: striking a correction restores the body before it") {
  Stocked shop;
  const auto number = shop.write(coat("26-001", "F1", {1}));
  const auto first = shop.correct(number, coat("26-001", "F1", {2}).body());
  const auto second = shop.correct(number, coat("26-001", "F1", {3}).body());
  const auto pieces = [&] { return steps_of(shop.book(), "26-001").at(0).pieces.at(0); };
  const auto undo = shop.strike(second);
  CHECK(pieces() == 2);
  shop.strike(first);
  CHECK(pieces() == 1);
  shop.strike(undo);  // the second correction counts again, whatever became of the first
  CHECK(pieces() == 3);
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("amendment: a struck entry is absent and striking the strike restores it") {
  Stocked shop;
  const auto number = shop.write(coat("26-001", "F1", {1}, true));
  const auto strike = shop.strike(number);
  CHECK(steps_of(shop.book(), "26-001").empty());
  CHECK(all_open_rags(shop.book()).empty());
  CHECK(effective_entry(shop.book(), number)->struck_by == strike);
  const auto back = shop.strike(strike);
  CHECK(steps_of(shop.book(), "26-001").size() == 1);
  CHECK(all_open_rags(shop.book()).size() == 1);
  CHECK_FALSE(effective_entry(shop.book(), number)->struck_by);
  shop.strike(back);
  CHECK(steps_of(shop.book(), "26-001").empty());
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("amendment: an entry struck twice needs both strikes undone") {
  Stocked shop;
  const auto number = shop.write(coat("26-001", "F1"));
  const auto one = shop.strike(number), two = shop.strike(number);
  shop.strike(two);
  CHECK(steps_of(shop.book(), "26-001").empty());
  shop.strike(one);
  CHECK(steps_of(shop.book(), "26-001").size() == 1);
}

TEST_CASE("amendment: a correction may move when it happened and only then does") {
  Stocked shop;
  const auto number = shop.write("coat", coat("26-001", "F1").body(), time("2026-03-01T10:00:00Z"));
  shop.correct(number, coat("26-001", "F1", {2}).body());
  CHECK(steps_of(shop.book(), "26-001")[0].at == Moment{time("2026-03-01T10:00:00Z"), 60});
  Json moved = Json::object().set("entry", number).set("why", "the day before");
  moved.set("body", coat("26-001", "F1").body()).set("happened_at", "2026-02-28T09:00:00Z");
  const auto correction = shop.write("correction", moved.set("happened_offset", -300));
  const Moment before{time("2026-02-28T09:00:00Z"), -300};
  CHECK(steps_of(shop.book(), "26-001")[0].at == before);
  CHECK(effective_entry(shop.book(), number)->happened == before);
  CHECK(effective_entry(shop.book(), number)->entry.happened.at == time("2026-03-01T10:00:00Z"));
  shop.strike(correction);
  CHECK(steps_of(shop.book(), "26-001")[0].at.at == time("2026-03-01T10:00:00Z"));
}

TEST_CASE("amendment: a corrected gift frees the pieces that it named by mistake") {
  Stocked shop;
  const book::Person person = shop.keep("Robin Example");
  const auto number = shop.write("give", gift("26-001", {1, 2, 3, 4}, person).body());
  CHECK(open_batches(shop.book()).empty());
  shop.correct(number, gift("26-001", {1}, person).body());
  CHECK(open_batches(shop.book()) == Names{"26-001"});
  CHECK(pieces_of(shop.book(), "26-001")[0].given == number);
  CHECK_FALSE(pieces_of(shop.book(), "26-001")[1].given);
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("amendment: a person or a file that only a correction names belongs to the vault") {
  Stocked shop;
  const auto number = shop.give("26-001", {1});
  shop.correct(number, gift("26-001", {1}, shop.keep("Kim Example")).body());
  const auto paper = shop.write("statement", statement("F1"));
  Writing writing(shop.book());
  const std::string digest = writing.keep_file("the paper itself");
  writing.commit();
  Json with_file = statement("F1");
  shop.correct(paper, with_file.set("file_sha256", digest));
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("amendment: a number once given out is never used again") {
  Stocked shop;
  const auto tin_entry = shop.write("tin", tin("F2", "finish").body());
  shop.strike(tin_entry);
  CHECK(class_of(shop.book(), "F2").empty());
  CHECK(next_number(shop.book(), "F") == 3);
  const auto third = shop.write("tin", tin("F3", "finish").body());
  const auto renamed = shop.correct(third, tin("F7", "finish").body());
  CHECK(next_number(shop.book(), "F") == 8);
  shop.strike(renamed);
  CHECK(next_number(shop.book(), "F") == 8);  // F7 stood in the book, if only in a correction
  shop.correct(third, tin("F1x", "finish").body());
  CHECK(next_number(shop.book(), "F") == 8);
  const auto eighth = shop.write("tin", tin("F8", "finish").body());
  shop.correct(eighth, tin("F1y", "finish").body());
  CHECK(next_number(shop.book(), "F") == 9);  // nor what a correction did away with
  const auto made = shop.write("batch", batch("26-002", 1, {"W1"}, {}).body());
  shop.strike(made);
  CHECK(next_number(shop.book(), "26-") == 3);
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("amendment: what a sign-off rests on reopens it and what it does not rest on does not") {
  Signed shop;
  REQUIRE(shop.standing() == "12");

  SECTION("a coat of the batch") {
    shop.correct(shop.coat_entry, coat("26-001", "F1", {1}).body());
    CHECK(shop.standing() == "-2");
  }
  SECTION("another batch's coat") {
    shop.strike(shop.other_coat);
    CHECK(shop.standing() == "1-");
  }
  SECTION("a coat that moves from one batch to the other") {
    const Json body = coat("26-002", "F1").body();
    CHECK(batches_reached(shop.book(), shop.coat_entry) == Names{"26-001"});
    CHECK(batches_reached(shop.book(), shop.coat_entry, &body) == Names{"26-001", "26-002"});
    shop.correct(shop.coat_entry, body);
    CHECK(shop.standing() == "--");
  }
  SECTION("the batch itself") {
    shop.correct(shop.other_batch, batch("26-002", 2, {"W2"}, {"F2", "F1"}).body());
    CHECK(shop.standing() == "1-");
  }
  SECTION("the wood") {
    shop.correct(shop.wood_lot, wood("W1", "ash").body());
    CHECK(shop.standing() == "-2");
  }
  SECTION("a tin that the batch was planned with") {
    CHECK(batches_reached(shop.book(), shop.finish_tin) == Names{"26-001"});
    shop.correct(shop.finish_tin, tin("F1", "finish").body());
    CHECK(shop.standing() == "-2");
  }
  SECTION("a tin that only a step of the other batch drew from") {
    shop.write(coat("26-002", "F1"));
    shop.correct(shop.finish_tin, tin("F1", "finish").body());
    CHECK(shop.standing() == "--");
  }
  SECTION("a tin of which the drawing was struck") {
    const auto drawn = shop.write(coat("26-002", "F1"));
    shop.strike(drawn);
    shop.sign();
    shop.correct(shop.finish_tin, tin("F1", "finish").body());
    CHECK(shop.standing() == "-2");
  }
  SECTION("the product of a tin") {
    shop.correct(shop.product_entry, product("P1", "finish").body());
    CHECK(shop.standing() == "-2");
  }
  SECTION("a statement on a tin or a product or a wood") {
    for (const char* subject : {"F1", "P1", "W1"}) {
      const auto paper = shop.write("statement", statement(subject));
      shop.sign();
      shop.strike(paper);
      INFO(subject);
      CHECK(shop.standing() == "-2");
    }
  }
  SECTION("a statement that moves from one tin to another") {
    const auto paper = shop.write("statement", statement("F1"));
    shop.sign();
    shop.correct(paper, statement("F2"));
    CHECK(shop.standing() == "--");
  }
  SECTION("readings of the place where both are") {
    const auto entry =
        shop.write("readings", readings("garage", {{0, shop.tick(), {9}, {}}}).body());
    CHECK(shop.standing() == "12");  // a further reading is no amendment
    shop.strike(entry);
    CHECK(shop.standing() == "--");
  }
  SECTION("readings of a place where neither is") {
    shop.write("place", Place{"house", "House", {}, {}}.body());
    shop.strike(shop.write("readings", readings("house", {{0, shop.tick(), {9}, {}}}).body()));
    CHECK(shop.standing() == "12");
  }
  SECTION("a species of one's own") {
    const Species plum{.id = "plum",
                       .common_name = "Plum",
                       .botanical_name = "Prunus domestica",
                       .group = "hardwood"};
    const auto entry = shop.write("species", to_json(plum));
    shop.correct(shop.other_wood, wood("W2", "plum").body());
    CHECK(shop.standing() == "1-");
    shop.sign();
    Species toxic = plum;
    toxic.toxic = true;
    shop.correct(entry, to_json(toxic));
    CHECK(shop.standing() == "1-");
  }
  SECTION("gifts and cards and notes and the sign-off itself bear on no other") {
    const auto given = shop.give("26-001", {1});
    const auto card =
        shop.write("card", PrintedCard{.batch = "26-001", .pieces = {1}, .language = "en"}.body());
    const auto note = shop.write("note", Json::object().set("about", "26-001").set("text", "x"));
    for (const auto entry : {given, card, note}) {
      shop.strike(entry);
      CHECK(batches_reached(shop.book(), entry).empty());
    }
    CHECK(shop.standing() == "12");
    shop.strike(shop.write("sign-off", sign_off("26-001", {1}).body()));
    CHECK(shop.standing() == "12");
  }
}

TEST_CASE(
    "amendment: a struck correction has reopened nothing but what was signed off since falls") {
  Signed shop;
  const auto correction = shop.correct(shop.coat_entry, coat("26-001", "F1", {1}).body());
  REQUIRE(shop.standing() == "-2");
  SECTION("signed off before it and not again") {
    shop.strike(correction);
    CHECK(shop.standing() == "12");  // the record is what was signed
  }
  SECTION("signed off again on the corrected record") {
    shop.sign();
    REQUIRE(shop.standing() == "12");
    shop.strike(correction);
    CHECK(shop.standing() == "-2");
  }
  SECTION("restored by a strike of the strike") {
    const auto strike = shop.strike(correction);
    shop.strike(strike);
    CHECK(shop.standing() == "-2");
  }
  SECTION("another correction stands") {
    const auto second = shop.correct(shop.coat_entry, coat("26-001", "F1", {2}).body());
    shop.strike(second);
    CHECK(shop.standing() == "-2");
  }
}

TEST_CASE("amendment: an id that something refers to would vanish") {
  Stocked shop;
  const Book& book = shop.book();
  SECTION("a tin that a batch or a coat uses") {
    CHECK(vanishing(book, shop.finish_tin) == Names{"F1 for 7"});
    const Json renamed = tin("F2", "finish", "P1").body(), same = tin("F1", "finish").body();
    CHECK(vanishing(book, shop.finish_tin, &renamed) == Names{"F1 for 7"});
    CHECK(vanishing(book, shop.finish_tin, &same).empty());
    const auto spare = shop.write("tin", tin("F2", "finish").body());
    CHECK(vanishing(book, spare).empty());
    const auto drawn = shop.write(coat("26-001", "F2"));
    CHECK(vanishing(book, spare) == Names{"F2 for " + std::to_string(drawn)});
    shop.strike(drawn);
    CHECK(vanishing(book, spare).empty());
  }
  SECTION("a product that a tin is of") {
    CHECK(vanishing(book, shop.product_entry) == Names{"P1 for 6"});
    shop.correct(shop.finish_tin, tin("F1", "finish").body());
    CHECK(vanishing(book, shop.product_entry).empty());
  }
  SECTION("fewer pieces than were given") {
    const auto given = shop.give("26-001", {3});
    const std::string code = pieces_of(book, "26-001")[2].code;
    const Json two = batch("26-001", 2, {"W1"}, {"F1"}).body();
    const Json three = batch("26-001", 3, {"W1"}, {"F1"}).body();
    CHECK(vanishing(book, shop.batch_entry, &two) == Names{code + " for " + std::to_string(given)});
    CHECK(vanishing(book, shop.batch_entry, &three).empty());
    CHECK(vanishing(book, shop.batch_entry).size() == 2);  // the batch and its piece
  }
  SECTION("the workshop and a place that nothing else states") {
    CHECK(vanishing(book, 1) == Names{"workshop for 1"});
    CHECK(vanishing(book, 3) == Names{"place:garage for 7"});
    const auto anew = shop.write("place", Place{"garage", "Garage", {}, {}}.body());
    CHECK(vanishing(book, 3).empty());
    CHECK(vanishing(book, anew).empty());
    shop.strike(3);
    CHECK(vanishing(book, anew) == Names{"place:garage for 7"});
  }
  SECTION("a worker who has written something else") {
    CHECK(vanishing(book, 2) == Names{"worker:1 for 1"});
    const book::Person person = shop.keep("Kim Example");
    const auto entry = shop.write("worker", Worker{2, person.id, seal(person), false}.body());
    CHECK(vanishing(book, entry).empty());
  }
  SECTION("steps and the like make nothing") {
    CHECK(vanishing(book, shop.write(coat("26-001", "F1"))).empty());
    CHECK(vanishing(book, 99).empty());
  }
}

TEST_CASE("amendment: striking an amendment is judged by what the entry then says") {
  Stocked shop;
  const Book& book = shop.book();
  SECTION("a correction that added a piece which has been given") {
    const auto more = shop.correct(shop.batch_entry, batch("26-001", 6, {"W1"}, {"F1"}).body());
    CHECK(vanishing(book, more).empty());
    shop.give("26-001", {6});
    CHECK(vanishing(book, more).size() == 1);
    CHECK(vanishing(book, more)[0].starts_with("26-001-06-"));
    shop.correct(shop.batch_entry, batch("26-001", 7, {"W1"}, {"F1"}).body());
    CHECK(vanishing(book, more).empty());  // another correction counts
  }
  SECTION("a strike whose undoing brings back fewer pieces") {
    const auto fewer = shop.correct(shop.batch_entry, batch("26-001", 2, {"W1"}, {"F1"}).body());
    const auto strike = shop.strike(fewer);
    shop.give("26-001", {4});
    CHECK(vanishing(book, strike).size() == 1);
  }
  SECTION("a coat that comes back although its tin is struck") {
    const auto spare = shop.write("tin", tin("F2", "finish").body());
    const auto drawn = shop.write(coat("26-001", "F2"));
    const auto strike = shop.strike(drawn);
    CHECK(vanishing(book, strike).empty());
    shop.strike(spare);
    CHECK(vanishing(book, strike) == Names{"F2 for " + std::to_string(drawn)});
    const Json anew = coat("26-001", "F2").body();
    CHECK(vanishing(book, drawn, &anew) == Names{"F2 for " + std::to_string(drawn)});
  }
  SECTION("a coat that comes back although its piece is no more") {
    const auto drawn = shop.write(coat("26-001", "F1", {4}));
    const auto strike = shop.strike(drawn);
    shop.correct(shop.batch_entry, batch("26-001", 3, {"W1"}, {"F1"}).body());
    CHECK(vanishing(book, strike).size() == 1);
    CHECK(vanishing(book, strike)[0].starts_with("26-001-04-"));
  }
  SECTION("a tin that comes back") {
    const auto spare = shop.write("tin", tin("F2", "finish").body());
    const auto strike = shop.strike(spare);
    CHECK(vanishing(book, strike).empty());
    shop.strike(strike);
    CHECK(class_of(book, "F2") == "finish");
  }
}
