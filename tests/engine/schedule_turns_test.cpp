// Pieces that leave their batch: split off for another finish, taken back, in another place.
#include <catch2/catch.hpp>

#include "shop.h"

using namespace trencher;
using namespace trencher::engine;
using namespace trencher::engine::shop;

namespace {

Turn turn(Turn::Kind kind, Instant at, std::vector<int> pieces) {
  Turn out;
  out.entry = 40;
  out.kind = kind;
  out.at = {at, 0};
  out.pieces = std::move(pieces);
  return out;
}

// Three coats of oil planned; the first is on all four boards.
BatchWork begun() {
  BatchWork work = batch({oil(), varnish()}, {plan("coat", 1)});
  work.batch.finish = {"F1"};
  log(work, "coat", t0, {"F1"});
  return work;
}

Turn to_varnish(Instant at) {
  Turn out = turn(Turn::Kind::split, at, {3});
  out.schedule = Schedule{};
  out.schedule->steps = {plan("sand"), plan("coat", 1)};
  out.finish = {"F3"};
  return out;
}

}  // namespace

TEST_CASE("split: a piece has the new plan before it and what was put on behind it") {
  BatchWork work = begun();
  work.turns.push_back(to_varnish(t0 + 30h));
  const Progress own = progress(work, 3), others = progress(work, 1);
  CHECK(own.next_step == "sand");
  CHECK(own.coats_planned == 2);
  CHECK(own.coats_done == 0);
  CHECK(own.next_tin == "F3");
  CHECK(others.next_tin == "F1");
  CHECK(others.coats_done == 1);
  // The oil's wait between coats still counts, and its wait to food contact.
  CHECK(*date_of(work, next_coat, house(), t0 + 31h, 3).at == t0 + 24h);
  log(work, "coat", t0 + 48h, {"F3"}, {3});
  log(work, "coat", t0 + 64h, {"F3"}, {3});
  CHECK(progress(work, 3).next_step == "sign-off");
  CHECK(*date_of(work, food_contact, house(), t0 + 100h, 3).at == t0 + 64h + 30 * 24h);
  work.tins.at("F1").label.food_contact = h(60 * 24);
  CHECK(*date_of(work, food_contact, house(), t0 + 100h, 3).at == t0 + 60 * 24h);
  CHECK(progress(work, 1).next_step == "coat");
}

TEST_CASE("take-back: a used board has no date before a coat is on anew") {
  BatchWork work = batch({oil()}, {plan("coat", 1, 1)});
  log(work, "coat", t0, {"F1"});
  const Instant back = t0 + 60 * 24h;
  work.turns.push_back(turn(Turn::Kind::take_back, back, {2}));
  CHECK(progress(work, 2).next_step == "coat");
  CHECK(progress(work, 2).next_tin.empty());
  CHECK(progress(work, 1).next_step == "sign-off");
  const Date before = date_of(work, food_contact, house(), back, 2);
  CHECK_FALSE(before.at.has_value());
  CHECK(before.why == std::vector<std::string>{"no coat is logged since it came back"});
  log(work, "coat", back + 24h, {"F1"}, {2});
  const Date after = date_of(work, food_contact, house(), back + 25h, 2);
  CHECK(*after.at == back + 24h + 30 * 24h);
  // What its owner put on is not known, nor when: a guess.
  CHECK(after.guessed);
  CHECK(after.why == std::vector<std::string>{
                         "what its owner put on it before it came back is not known (entry 40)"});
  work.turns.back().owner_applied = "nothing";
  CHECK_FALSE(date_of(work, food_contact, house(), back + 25h, 2).guessed);
  CHECK_FALSE(date_of(work, food_contact, house(), back + 25h, 1).guessed);
}

TEST_CASE("take-back: an unused board goes on as it was") {
  BatchWork work = batch({oil()}, {plan("coat", 1, 1)});
  log(work, "coat", t0, {"F1"});
  work.turns.push_back(turn(Turn::Kind::take_back, t0 + 40 * 24h, {2}));
  work.turns.back().unused = true;
  CHECK(progress(work, 2).next_step == "sign-off");
  const Date date = date_of(work, food_contact, house(), t0 + 41 * 24h, 2);
  CHECK(*date.at == t0 + 30 * 24h);
  CHECK_FALSE(date.guessed);
}

TEST_CASE("take-back: the coats of the life before still count") {
  // The board comes back within the cure of a coat that takes longer than the new one.
  BatchWork work = batch({oil(), wax()}, {plan("coat", 1, 1)});
  work.batch.finish = {"F1"};
  log(work, "coat", t0, {"F1"});
  work.turns.push_back(turn(Turn::Kind::take_back, t0 + 24h, {1}));
  work.turns.back().owner_applied = "nothing";
  log(work, "coat", t0 + 48h, {"F2"}, {1});
  CHECK(*date_of(work, food_contact, house(), t0 + 50h, 1).at == t0 + 30 * 24h);
}

TEST_CASE("each piece cures where it is") {
  BatchWork work = begun();
  PieceConditions conditions(house());
  conditions.set({2}, in_garage(steady(2400, 10, 50)));  // at the oil's lowest temperature
  const auto at = [&](int piece) {
    const auto all = dates(work, piece, conditions, t0 + 1h);
    return *find(all, next_coat)->at;
  };
  CHECK(at(1) == t0 + 24h);
  CHECK(at(2) > t0 + 36h);
  // Of the whole batch the latest counts, whichever piece it is of.
  log(work, "sand", t0 + 1h, {}, {2});
  CHECK(at(0) == at(2));
  CHECK(&conditions.of(3) == &conditions.of(0));
}

TEST_CASE("what is fitted counts towards food contact where it cures") {
  BatchWork work = batch({oil()}, {plan("coat", 1, 1)});
  Tin filler = tin("X1", "filler", Mechanism::two_part), feet = tin("X2", "feet", Mechanism::none);
  filler.stock = feet.stock = "other";
  filler.label.full_cure = h(50 * 24);
  work.tins["X1"] = filler;
  work.tins["X2"] = feet;
  log(work, "coat", t0, {"F1"});
  log(work, "fit", t0, {"X2"}, {1});
  CHECK(*date_of(work, food_contact, house(), t0 + 1h, 1).at == t0 + 30 * 24h);
  log(work, "fit", t0, {"X1"}, {1});
  CHECK(*date_of(work, food_contact, house(), t0 + 1h, 1).at == t0 + 50 * 24h);
  CHECK(*date_of(work, food_contact, house(), t0 + 1h, 2).at == t0 + 30 * 24h);
  // One that cures, nobody knows how long, leaves the date open.
  work.tins.at("X1").label.full_cure.reset();
  CHECK_FALSE(date_of(work, food_contact, house(), t0 + 1h, 1).at.has_value());
}
