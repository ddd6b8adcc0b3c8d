// Mixes: tins made out of tins.
#include "book/kinds.h"
#include "shop.h"

using namespace shop;

namespace {

using Names = std::vector<std::string>;

// A mix of a mix: F4 out of F3 and X1, F3 out of F1 and F2; 26-002 is planned with another tin.
struct Mixed : Stocked {
  Mixed() {
    write("tin", tin("F2", "finish").body());
    thing_tin = write("tin", tin("X1", "other").body());
    inner = write("mix", mix("F3", "finish", {"F1", "F2"}).body());
    outer = write("mix", mix("F4", "finish", {"F3", "X1"}).body());
    write("batch", batch("26-002", 1, {"W1"}, {"F2"}).body());
  }
  std::int64_t thing_tin, inner, outer;
};

}  // namespace

TEST_CASE("mix: it makes a tin of its class and speaks of what it was made from") {
  const book::Facts facts = book::facts_of("mix", 1, mix("X3", "other", {"X1", "F2"}).body());
  REQUIRE(facts.made.size() == 1);
  CHECK(facts.made[0].id == "X3");
  CHECK(facts.made[0].class_name == "other");
  CHECK(facts.mentions == Names{"F2", "X1", "X3"});
}

TEST_CASE("mix: it is found as a tin of the kind mix with its parts and its amount") {
  Mixed shop;
  const Tin found = find_tin(shop.book(), "F3").value();
  CHECK(found.entry == shop.inner);
  CHECK(found.kind == mix_kind);
  CHECK(found.stock == "finish");
  CHECK(found.name == "Example mix");
  CHECK(found.amount == Amount{Amount::Measure::volume, 200'000});
  REQUIRE(found.mixed_from.size() == 2);
  CHECK(found.mixed_from[0].tin == "F1");
  CHECK(found.mixed_from[1].amount == Amount{Amount::Measure::volume, 100'000});
  CHECK(found.label == Label{});  // what it says follows from its parts
  CHECK(find_tin(shop.book(), "F1")->mixed_from.empty());
  CHECK(class_of(shop.book(), "F4") == "finish");
  CHECK(mixes_of(shop.book(), "F1") == Names{"F3"});
  CHECK(mixes_of(shop.book(), "F3") == Names{"F4"});
  CHECK(mixes_of(shop.book(), "F4").empty());
  CHECK(next_number(shop.book(), "F") == 5);
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("mix: what went into it is drawn from its parts and what it gives from itself") {
  Mixed shop;
  CHECK(drawn_from(shop.book(), "F1").ul == 100'000);
  shop.write(coat("26-001", "F1"));
  CHECK(drawn_from(shop.book(), "F1").ul == 150'000);
  Mix by_mass = mix("F5", "finish", {"F1"});
  by_mass.drawn[0].amount = Amount{Amount::Measure::mass, 30'000};
  const auto third = shop.write("mix", by_mass.body());
  CHECK(drawn_from(shop.book(), "F1").ul == 150'000);
  CHECK(drawn_from(shop.book(), "F1").mg == 30'000);
  CHECK(drawn_from(shop.book(), "F3").ul == 100'000);
  CHECK(drawn_from(shop.book(), "F4").ul == 0);
  shop.strike(third);
  CHECK(drawn_from(shop.book(), "F1").mg == 0);
}

TEST_CASE("mix: an entry about a part reaches the boards that only a mix of mixes is on") {
  Mixed shop;
  const auto reached = [&] { return batches_touched(shop.book(), {"X1"}); };
  CHECK(reached().empty());
  const auto drawn = shop.write(coat("26-002", "F4"));
  CHECK(reached() == Names{"26-002"});
  CHECK(batches_reached(shop.book(), shop.thing_tin) == Names{"26-002"});
  CHECK(batches_touched(shop.book(), {"F1"}) == Names{"26-001", "26-002"});
  shop.write("sign-off", sign_off("26-002", {1}).body());
  shop.correct(shop.thing_tin, tin("X1", "other").body());
  CHECK_FALSE(pieces_of(shop.book(), "26-002")[0].signed_off);

  shop.write("sign-off", sign_off("26-002", {1}).body());
  shop.correct(shop.inner, mix("F3", "finish", {"F2"}).body());
  CHECK_FALSE(pieces_of(shop.book(), "26-002")[0].signed_off);  // another mix is on the board
  CHECK(batches_touched(shop.book(), {"F1"}) == Names{"26-001"});

  shop.correct(shop.outer, mix("F4", "finish", {"F3"}).body());
  CHECK(reached().empty());
  shop.strike(drawn);
  CHECK(batches_touched(shop.book(), {"F3"}).empty());
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("mix: a mix of glues or of others reaches boards as one of finishes does") {
  Mixed shop;
  const std::pair<const char*, const char*> stocks[] = {{"glue", "G"}, {"other", "X"}};
  for (const auto& [stock, prefix] : stocks) {
    INFO(stock);
    const std::string source = std::string(prefix) + "7", made = std::string(prefix) + "8";
    shop.write("tin", tin(source, stock).body());
    shop.write("mix", mix(made, stock, {source}).body());
    CHECK(find_tin(shop.book(), made)->stock == stock);
    CHECK(batches_touched(shop.book(), {source}).empty());
    Step put_in = coat("26-002", made);
    put_in.kind = "fit";
    shop.write(put_in);
    CHECK(batches_touched(shop.book(), {source}) == Names{"26-002"});
  }
}

TEST_CASE("mix: a struck mix is no tin and reaches nothing") {
  Mixed shop;
  const auto strike = shop.strike(shop.outer);
  CHECK_FALSE(find_tin(shop.book(), "F4"));
  CHECK(class_of(shop.book(), "F4").empty());
  CHECK(mixes_of(shop.book(), "F3").empty());
  CHECK(drawn_from(shop.book(), "F3").ul == 0);
  CHECK_FALSE(find_tin(shop.book(), "F3")->opened);
  CHECK(next_number(shop.book(), "F") == 5);
  shop.strike(strike);
  CHECK(find_tin(shop.book(), "F4")->mixed_from.size() == 2);
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("mix: one that something draws from would vanish and so would a part") {
  Mixed shop;
  const auto needed_by = [&](std::int64_t entry) {
    const auto vanishing = would_vanish(shop.book(), entry, nullptr);
    return vanishing.empty() ? 0 : vanishing.front().needed_by;
  };
  CHECK(needed_by(shop.thing_tin) == shop.outer);
  CHECK(needed_by(shop.inner) == shop.outer);
  CHECK(needed_by(shop.outer) == 0);
  const auto drawn = shop.write(coat("26-001", "F4"));
  CHECK(needed_by(shop.outer) == drawn);
  const auto spare = shop.write("tin", tin("F5", "finish").body());
  CHECK(needed_by(spare) == 0);
}
