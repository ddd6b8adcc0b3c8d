// The records that mixes, boards on a way of their own, and what was found too late brought with
// them. As in records_test.cpp each body is written out, in full and at its least.
#include <catch2/catch.hpp>

#include "domain/records.h"
#include "refusal.h"

using namespace trencher;

namespace {

template <typename Record>
Record kept(const std::string& text) {
  const Record record = Record::read(Json::parse(text));
  CHECK(record.body().canonical() == text);
  return record;
}

Turn kept_turn(std::string_view kind, const std::string& text) {
  const Turn turn = Turn::read(kind, Json::parse(text));
  CHECK(turn.body().canonical() == text);
  return turn;
}

Day day(std::string_view text) { return day_from_iso(text).value(); }

const std::string way =
    R"("schedule":{"id":"oil","name":"Oil","slots":[["oxidative"]],"steps":[{"slot":1,)"
    R"("step":"coat"}]})";

}  // namespace

TEST_CASE("records: a mix holds what went in and what came of it") {
  const auto mix = kept<Mix>(
      R"({"amount_mg":500000,"drawn":[{"amount_ul":400000,"tin":"F1"},{"amount_mg":100000,)"
      R"("tin":"F2"},{"tin":"X1"}],"name":"Board butter","stock":"finish","tin":"F5"})");
  CHECK(mix.id == "F5");
  CHECK(mix.stock == "finish");
  CHECK(mix.name == "Board butter");
  CHECK(mix.amount == Amount{Amount::Measure::mass, 500000});
  REQUIRE(mix.drawn.size() == 3);
  CHECK(mix.drawn[0].tin == "F1");
  CHECK(mix.drawn[0].amount == Amount{Amount::Measure::volume, 400000});
  CHECK(mix.drawn[1].amount == Amount{Amount::Measure::mass, 100000});
  CHECK_FALSE(mix.drawn[2].amount.has_value());
  const auto least = kept<Mix>(R"({"drawn":[{"tin":"X1"}],"name":"n","stock":"other","tin":"X2"})");
  CHECK_FALSE(least.amount.has_value());
}

TEST_CASE("records: a split names its way and its tins") {
  const auto split =
      kept_turn("split", R"({"batch":"26-014","finish":["F1","F2"],"pieces":[2,3],)" + way +
                             R"(,"why":"for a child"})");
  CHECK(split.kind == Turn::Kind::split);
  CHECK(split.batch == "26-014");
  CHECK(split.pieces == std::vector{2, 3});
  CHECK(split.finish == std::vector<std::string>{"F1", "F2"});
  REQUIRE(split.schedule.has_value());
  CHECK(split.schedule->steps[0].slot == 1);
  CHECK(split.why == "for a child");
  kept_turn("split", R"({"batch":"26-014","pieces":[1],)" + way + "}");
}

TEST_CASE("records: a piece that comes back tells used from unused and nothing from not known") {
  const auto unused = kept_turn(
      "take-back", R"({"batch":"26-014","owner_applied":"nothing","pieces":[4],"place":"garage",)" +
                       way + R"(,"unused":true})");
  CHECK(unused.kind == Turn::Kind::take_back);
  CHECK(unused.unused);
  CHECK(unused.owner_applied == "nothing");
  CHECK(unused.place == "garage");
  CHECK(unused.schedule.has_value());
  const auto least = kept_turn("take-back", R"({"batch":"26-014","pieces":[4],"place":"garage"})");
  CHECK_FALSE(least.unused);
  CHECK(least.owner_applied.empty());
  CHECK_FALSE(least.schedule.has_value());
  CHECK(least.finish.empty());
}

TEST_CASE("records: scraps and withdrawals and what was dealt with say why or how") {
  const auto scrap = kept<Scrap>(R"({"batch":"26-014","pieces":[1,6],"why":"a crack"})");
  CHECK(scrap.batch == "26-014");
  CHECK(scrap.pieces == std::vector{1, 6});
  CHECK(scrap.why == "a crack");
  const auto word = kept<Withdrawal>(
      R"({"ids":["F1","G2"],"lot":"L 7","supplier":"Example Supply","why":"the supplier's notice"})");
  CHECK(word.ids == std::vector<std::string>{"F1", "G2"});
  CHECK(word.why == "the supplier's notice");
  CHECK(word.supplier == "Example Supply");
  CHECK(word.lot == "L 7");
  // As the first version wrote it.
  CHECK(Withdrawal::read(Json::parse(R"({"tins":["F1"],"why":"w"})")).ids ==
        std::vector<std::string>{"F1"});
  const auto done =
      kept<Dealt>(R"({"batch":"26-014","entry":31,"how":"told by phone","pieces":[2]})");
  CHECK(done.with == 31);
  CHECK(done.batch == "26-014");
  CHECK(done.pieces == std::vector{2});
  CHECK(done.how == "told by phone");
  for (const char* text : {R"({"batch":"26-014","pieces":[1]})", R"({"pieces":[1],"why":"w"})"})
    CHECK_THROWS_AS(Scrap::read(Json::parse(text)), Error);
  CHECK_THROWS_AS(Withdrawal::read(Json::parse(R"({"tins":["F1"]})")), Error);
  CHECK_THROWS_AS(Dealt::read(Json::parse(R"({"batch":"b","entry":1,"pieces":[1]})")), Error);
}

TEST_CASE("records: what an entry made wrong stands beside its own members") {
  const std::string row =
      R"({"batch":"26-014","card":[1,2],"cards":[30,31],"changes":[{"about":"food-contact",)"
      R"("before":"Mon 7 Dec 2026","now":"not known"}],"gifts":[40],"left":[3],"sign_off":[1]})";
  const std::string least = R"({"batch":"26-015","changes":[]})";
  const auto all = made_wrong(
      Json::parse(R"({"affected":[)" + row + "," + least + R"(],"entry":12,"why":"w"})"));
  REQUIRE(all.size() == 2);
  CHECK(all[0].json().canonical() == row);
  CHECK(all[1].json().canonical() == least);
  CHECK(all[0].batch == "26-014");
  CHECK(all[0].changes ==
        std::vector<MadeWrong::Change>{{"food-contact", "Mon 7 Dec 2026", "not known"}});
  CHECK(all[0].sign_off == std::vector{1});
  CHECK(all[0].card == std::vector{1, 2});
  CHECK(all[0].left == std::vector{3});
  CHECK(all[0].cards == std::vector<std::int64_t>{30, 31});
  CHECK(all[0].gifts == std::vector<std::int64_t>{40});
  CHECK(made_wrong(Json::parse(R"({"entry":12,"why":"w"})")).empty());
  CHECK(made_wrong(Json::parse(R"({"affected":[]})")).empty());
  CHECK_THROWS_AS(made_wrong(Json::parse(R"({"affected":[{"batch":"26-014"}]})")), Error);
}

TEST_CASE("records: a tin is good until its date or the end of its opened life") {
  Tin tin;
  CHECK_FALSE(use_by(tin).has_value());
  tin.best_before = day("2026-12-01");
  CHECK(use_by(tin) == day("2026-12-01"));
  tin.label.opened_life = Figure{30 * 86400, false};
  CHECK(use_by(tin) == day("2026-12-01"));  // not opened
  tin.opened = Moment{instant_from_iso("2026-03-01T10:00:00Z"), 0};
  CHECK(use_by(tin) == day("2026-03-31"));
  tin.opened = Moment{instant_from_iso("2026-11-20T10:00:00Z"), 0};
  CHECK(use_by(tin) == day("2026-12-01"));  // whichever comes first
  tin.best_before.reset();
  CHECK(use_by(tin) == day("2026-12-20"));
  tin.opened->at = instant_from_iso("2026-11-20T23:30:00Z");
  tin.opened->offset_minutes = 60;  // half past midnight there
  CHECK(use_by(tin) == day("2026-12-21"));
  tin.label.opened_life.reset();
  CHECK_FALSE(use_by(tin).has_value());
}

TEST_CASE("records: a paper is about a tin or about its version of its product") {
  Tin tin{.id = "F1", .product = "P1"};
  tin.product_version = 2;
  Statement paper;
  paper.subject = "F1";
  CHECK(is_about(paper, tin));
  paper.subject = "P1";
  CHECK_FALSE(is_about(paper, tin));  // without a version: of the first
  paper.version = 2;
  CHECK(is_about(paper, tin));
  tin.product_version = 1;
  CHECK_FALSE(is_about(paper, tin));
  paper.version = 1;
  CHECK(is_about(paper, tin));
  paper.version = 0;
  CHECK(is_about(paper, tin));
  for (const char* other : {"P2", "F2", ""}) {
    paper.subject = other;
    INFO(other);
    CHECK_FALSE(is_about(paper, tin));
  }
  tin.product.clear();
  CHECK_FALSE(is_about(paper, tin));  // an empty subject is no product
}
