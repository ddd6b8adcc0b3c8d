#include "engine/schedule.h"

#include <catch2/catch.hpp>

#include "shop.h"

using namespace trencher;
using namespace trencher::engine;
using namespace trencher::engine::shop;

TEST_CASE("a fresh batch with glue begins with glue-up and has no dates yet") {
  const BatchWork work = batch({glue(), oil()}, oil_steps);
  const Progress p = progress(work, 0);
  CHECK(p.next_step == "glue-up");
  CHECK(p.coats_done == 0);
  CHECK(p.coats_planned == 3);
  CHECK(p.slot == 1);
  CHECK(p.next_tin == "F1");
  CHECK_FALSE(p.coats_usual);
  const auto all = dates(work, 0, house(), t0);
  CHECK(names(all) == "clamps-off? flatten? next-coat? handle? pack? food-contact?");
  CHECK(all[0].why == std::vector<std::string>{"no glue-up is logged yet"});
  CHECK(all[2].why == std::vector<std::string>{"no glue-up is logged yet"});
  CHECK(all[5].why == std::vector<std::string>{"no coat is logged yet"});
  for (const Date& date : all) CHECK_FALSE(date.guessed);
}

TEST_CASE("progress walks the schedule from glue-up to sign-off") {
  BatchWork work = batch({glue(), oil()}, oil_steps);
  const auto next = [&] { return progress(work, 0).next_step; };
  log(work, "glue-up", t0, {"G1"});
  CHECK(next() == "sand");
  log(work, "sand", t0 + 30h);
  CHECK(next() == "raise-grain");
  log(work, "raise-grain", t0 + 31h);
  CHECK(next() == "coat");
  log(work, "coat", t0 + 40h, {"F1"});
  CHECK(next() == "scuff");
  CHECK_FALSE(progress(work, 0).scuffed_since_coat);
  log(work, "scuff", t0 + 64h);
  CHECK(next() == "coat");
  CHECK(progress(work, 0).scuffed_since_coat);
  log(work, "coat", t0 + 65h, {"F1"});
  CHECK(next() == "scuff");
  log(work, "coat", t0 + 90h, {"F1"});  // without the scuff
  CHECK(progress(work, 0).coats_done == 3);
  CHECK(progress(work, 0).slot == 0);
  CHECK(next() == "inspect");
  log(work, "inspect", t0 + 900h);
  work.steps.back().result = "not-sound";
  CHECK(next() == "inspect");
  log(work, "inspect", t0 + 901h);
  work.steps.back().result = "sound";
  CHECK(next() == "sign-off");
  log(work, "inspect", t0 + 902h);
  work.steps.back().result = "not-sound";
  CHECK(next() == "inspect");
}

TEST_CASE("the first coat ends the preparation whether or not it was logged") {
  BatchWork work = batch({glue(), oil()}, oil_steps);
  log(work, "coat", t0, {"F1"});
  CHECK(progress(work, 0).next_step == "scuff");
  BatchWork twice =
      batch({oil()}, {plan("sand"), plan("raise-grain"), plan("sand"), plan("coat", 1)});
  log(twice, "sand", t0);
  CHECK(progress(twice, 0).next_step == "raise-grain");
  log(twice, "raise-grain", t0 + 1h);
  CHECK(progress(twice, 0).next_step == "sand");
  log(twice, "sand", t0 + 2h);
  CHECK(progress(twice, 0).next_step == "coat");
}

TEST_CASE("an inspection after each coat is asked for once each") {
  BatchWork work =
      batch({oil()}, {plan("coat", 1, 1), plan("inspect"), plan("coat", 1, 1), plan("inspect")});
  const auto next = [&] { return progress(work, 0).next_step; };
  log(work, "coat", t0, {"F1"});
  CHECK(next() == "inspect");
  log(work, "inspect", t0 + 20h);
  CHECK(next() == "coat");
  log(work, "coat", t0 + 24h, {"F1"});
  CHECK(next() == "inspect");
  log(work, "inspect", t0 + 50h);
  CHECK(next() == "sign-off");
}

TEST_CASE("a second finish follows when the first has all its coats") {
  BatchWork work = batch({oil(), wax()}, {plan("sand"), plan("coat", 1, 2), plan("scuff", 1),
                                          plan("coat", 2, 1), plan("inspect")});
  log(work, "coat", t0, {"F1"});
  log(work, "coat", t0 + 24h, {"F1"});
  Progress p = progress(work, 0);
  CHECK(p.coats_planned == 3);
  CHECK(p.next_step == "coat");  // no scuff between oil and wax is asked for
  CHECK(p.slot == 2);
  CHECK(p.next_tin == "F2");
  log(work, "coat", t0 + 50h, {"F2"});
  CHECK(progress(work, 0).next_step == "inspect");
}

TEST_CASE("a coat from another slot's tin counts for that slot") {
  BatchWork work = batch({oil(), wax()}, {plan("coat", 1, 2), plan("coat", 2, 1)});
  log(work, "coat", t0, {"F1"});
  log(work, "coat", t0 + 24h, {"F2"});
  CHECK(progress(work, 0).slot == 1);
  CHECK(progress(work, 0).coats_done == 2);
  // A tin that is none of the batch's (a new one, say) counts for the slot whose turn it is.
  work.tins["F9"] = oil();
  log(work, "coat", t0 + 48h, {"F9"});
  CHECK(progress(work, 0).slot == 0);
}

TEST_CASE("the number of coats is the schedule's else the label's else the usual one") {
  Tin silent = oil();
  silent.label.coats = Figure{4, true};
  BatchWork work = batch({silent}, {plan("coat", 1)});
  CHECK(progress(work, 0).coats_planned == 4);
  CHECK(progress(work, 0).coats_usual);
  log(work, "coat", t0, {"F1"});
  const Date next = date_of(work, next_coat, house(), t0);
  CHECK(next.at == t0 + 24h);
  CHECK(next.guessed);
  CHECK(next.why ==
        std::vector<std::string>{"the label gives no number of coats: the usual 4 is planned"});
  work.batch.schedule.steps[0].count = 2;
  CHECK(progress(work, 0).coats_planned == 2);
  CHECK_FALSE(progress(work, 0).coats_usual);
  CHECK_FALSE(date_of(work, next_coat, house(), t0).guessed);
}

TEST_CASE("clamps and flattening run from the glue-up and the first coat waits for full cure") {
  BatchWork work = batch({glue(), oil()}, oil_steps);
  log(work, "glue-up", t0, {"G1"});
  CHECK(date_of(work, clamps_off, house(), t0).at == t0 + 1h);
  CHECK(date_of(work, flatten, house(), t0).at == t0 + 24h);
  const Date first = date_of(work, next_coat, house(), t0);
  CHECK(first.at == t0 + 24h);
  CHECK_FALSE(first.guessed);
  CHECK(first.wait->tin == "G1");
  // A board glued in two stages waits for the second.
  log(work, "glue-up", t0 + 20h, {"G1"});
  CHECK(date_of(work, clamps_off, house(), t0).at == t0 + 21h);
  CHECK(date_of(work, flatten, house(), t0).at == t0 + 44h);
}

TEST_CASE("a cold garage moves every date as the rate at that temperature says") {
  BatchWork work = batch({glue(), oil()}, oil_steps);
  log(work, "glue-up", t0, {"G1"});
  log(work, "coat", t0 + 50h, {"F1"});
  const Conditions garage = in_garage(steady(2000, 15, 50));
  const auto after = [](double wait_h, double kj) {
    const double factor = std::exp(-kj * 1000 / 8.314 * (1 / 288.15 - 1 / 293.15));
    return Seconds(static_cast<long>(std::ceil(wait_h * 3600 / factor)));
  };
  CHECK(date_of(work, clamps_off, garage, t0).at == t0 + after(1, 50));
  CHECK(date_of(work, flatten, garage, t0).at == t0 + after(24, 50));
  CHECK(date_of(work, next_coat, garage, t0).at == t0 + 50h + after(24, 60));
}

TEST_CASE("while coats remain later dates assume each as soon as it is due") {
  BatchWork work = batch({oil()}, {plan("coat", 1)});
  log(work, "coat", t0, {"F1"});
  const Date food = date_of(work, food_contact, house(), t0);
  CHECK(food.at == t0 + 48h + 720h);
  CHECK(food.guessed);
  CHECK(food.why.front() == "2 coats still to come, each as soon as it is due");
  CHECK(food.wait->entry == 0);
  // What is due already cannot be done in the past.
  CHECK(date_of(work, food_contact, house(), t0 + 100h).at == t0 + 100h + 24h + 720h);
  log(work, "coat", t0 + 24h, {"F1"});
  CHECK(date_of(work, handle, house(), t0 + 24h).why.front() ==
        "1 coat still to come, counted as soon as it is due");
  log(work, "coat", t0 + 48h, {"F1"});
  const auto all = dates(work, 0, house(), t0 + 49h);
  CHECK(names(all) == "handle pack food-contact");
  CHECK(find(all, food_contact)->at == t0 + 48h + 720h);
  CHECK_FALSE(find(all, food_contact)->guessed);
  CHECK(find(all, handle)->at == t0 + 96h);
  CHECK(find(all, food_contact)->wait->entry == work.steps.back().entry);
}

TEST_CASE("food contact is the latest over every coat and the glue") {
  BatchWork work = batch({glue(), oil(), wax()}, {plan("coat", 1, 1), plan("coat", 2, 1)});
  log(work, "glue-up", t0, {"G1"});
  log(work, "coat", t0 + 30h, {"F1"});
  log(work, "coat", t0 + 60h, {"F2"});
  Date food = date_of(work, food_contact, house(), t0 + 61h);
  CHECK(food.at == t0 + 30h + 720h);
  CHECK(food.wait->tin == "F1");
  CHECK_FALSE(food.guessed);
  CHECK(date_of(work, pack, house(), t0).at == t0 + 30h + 336h);
  // A slow glue outlasts the finish; so does a foot glued on at the end.
  work.tins["G1"].label.full_cure = h(2000);
  CHECK(date_of(work, food_contact, house(), t0).at == t0 + 2000h);
  log(work, "fit", t0 + 100h, {"G1"});
  CHECK(date_of(work, food_contact, house(), t0).at == t0 + 2100h);
  CHECK(date_of(work, flatten, house(), t0).at == t0 + 2000h);
}

TEST_CASE("each use of one tin counts with its own start and its own wait") {
  // A foot glued on before the second glue-up does not hide it.
  BatchWork work = batch({glue()}, {plan("sand")});
  log(work, "fit", t0 + 5h, {"G1"});
  log(work, "glue-up", t0 + 20h, {"G1"});
  CHECK(date_of(work, food_contact, house(), t0).at == t0 + 44h);
  // An epoxy that glues and coats: the coat's wait is the shorter.
  BatchWork both = batch({glue()}, {plan("sand")});
  both.tins["G1"].label.full_cure = h(200);
  both.tins["G1"].label.food_contact = h(24);
  log(both, "glue-up", t0, {"G1"});
  log(both, "coat", t0 + 1h, {"G1"});
  CHECK(date_of(both, food_contact, house(), t0).at == t0 + 200h);
}

TEST_CASE("glue without a logged glue-up counts from the first coat") {
  BatchWork work = batch({glue(), wax()}, {plan("coat", 1, 1)});
  log(work, "coat", t0, {"F2"});
  CHECK(date_of(work, food_contact, house(), t0).at == t0 + 48h);
  CHECK_FALSE(date_of(work, food_contact, house(), t0).guessed);
  CHECK_FALSE(date_of(work, flatten, house(), t0).at);
  work.tins["G1"].label.full_cure = h(72);
  const Date food = date_of(work, food_contact, house(), t0);
  CHECK(food.at == t0 + 72h);
  CHECK(food.guessed);
  CHECK(food.why == std::vector<std::string>{"no glue-up is logged: the glue counts from the first "
                                             "coat, before which it must have been"});
}

TEST_CASE("a batch of glue alone has a food contact date by its glue") {
  BatchWork work = batch({glue()}, {plan("sand")});
  CHECK(names(dates(work, 0, house(), t0)) == "clamps-off? flatten? food-contact?");
  log(work, "glue-up", t0);  // the tin is the batch's own where the step names none
  CHECK(names(dates(work, 0, house(), t0)) == "clamps-off flatten food-contact");
  CHECK(date_of(work, food_contact, house(), t0).at == t0 + 24h);
}

TEST_CASE("in a mixed coat the longest wait and the earliest upper end count") {
  Tin other = varnish();
  other.id = "F4";
  other.label.recoat_min = h(16);
  other.label.recoat_max = h(20);
  BatchWork work = batch({varnish()}, {plan("coat", 1)});
  work.tins["F4"] = other;
  log(work, "coat", t0, {"F3", "F4"});
  const Date next = date_of(work, next_coat, house(), t0);
  CHECK(next.at == t0 + 16h);
  CHECK(next.wait->tin == "F4");
  CHECK(date_of(work, next_coat_by, house(), t0).at == t0 + 20h);
}

TEST_CASE("a longest wait that ends in the cold before the shortest asks for a scuff") {
  BatchWork work = batch({varnish()}, {plan("coat", 1)});
  log(work, "coat", t0, {"F3"});
  const auto warm = dates(work, 0, house(), t0 + 1h);
  CHECK(names(warm) == "next-coat next-coat-by handle pack food-contact");
  CHECK_FALSE(find(warm, next_coat)->scuff_first);
  CHECK(find(warm, next_coat_by)->at == t0 + 24h);
  const auto cold = dates(work, 0, in_garage(steady(800, 8, 50)), t0 + 1h);
  CHECK(find(cold, next_coat)->at > t0 + 24h);
  CHECK(find(cold, next_coat_by)->at == t0 + 24h);
  CHECK(find(cold, next_coat)->scuff_first);
}

TEST_CASE("a longest wait that has passed asks for a scuff until there was one") {
  BatchWork work = batch({varnish()}, {plan("coat", 1)});
  log(work, "coat", t0, {"F3"});
  CHECK_FALSE(date_of(work, next_coat, house(), t0 + 24h).scuff_first);
  CHECK(date_of(work, next_coat, house(), t0 + 24h + 1s).scuff_first);
  // Heat ends it sooner.
  const Conditions hot = in_garage(steady(100, 30, 50));
  CHECK(date_of(work, next_coat, hot, t0 + 20h).scuff_first);
  for (const char* kind : {"scuff", "sand"}) {
    BatchWork abraded = work;
    log(abraded, kind, t0 + 25h);
    const auto scuffed = dates(abraded, 0, house(), t0 + 26h);
    CHECK_FALSE(find(scuffed, next_coat)->scuff_first);
    CHECK_FALSE(find(scuffed, next_coat_by));
  }
}

TEST_CASE("usual figures and guessed conditions mark a date with their reason") {
  Tin silent = oil();
  silent.label.food_contact = usual_h(720);
  BatchWork work = batch({silent}, {plan("coat", 1, 1)});
  log(work, "coat", t0, {"F1"});
  const Date usual = date_of(work, food_contact, house(), t0);
  CHECK(usual.at == t0 + 720h);
  CHECK(usual.guessed);
  CHECK(usual.why ==
        std::vector<std::string>{"the label gives no wait to food contact: the longest "
                                 "usual for its kind counts (30 d)"});
  CHECK_FALSE(date_of(work, pack, house(), t0).guessed);
  const Date guessed = date_of(work, handle, in_garage(steady(3, 20, 50), 12, 60), t0);
  CHECK(guessed.guessed);
  CHECK(guessed.why ==
        std::vector<std::string>{"no reading in Garage after Sat 5 Dec 2026 21:00, the "
                                 "declared 12 °C and 60 % count"});
}

TEST_CASE("a gap that a later reading makes harmless does not mark the date") {
  // No reading on the day of the glue-up, then 40 days of them: the glue is cured by readings alone
  // long before the oil.
  BatchWork work = batch({glue(), oil()}, {plan("coat", 1, 1)});
  log(work, "glue-up", t0 - 30h, {"G1"});
  log(work, "coat", t0 + 1h, {"F1"});
  const Conditions conditions = in_garage(steady(960, 20, 50), 20, 50);
  CHECK(date_of(work, flatten, conditions, t0).guessed);
  CHECK_FALSE(date_of(work, food_contact, conditions, t0).guessed);
  // Where the readings after it do not suffice it does.
  work.tins["G1"].label.full_cure = h(740);
  CHECK(date_of(work, food_contact, conditions, t0).guessed);
}

TEST_CASE("a kind without any figure has no date and says so") {
  Tin paint = tin("F5", "milk paint", Mechanism::solvent_evaporation);
  paint.label.recoat_min = h(4);
  paint.label.pack = h(100);
  BatchWork work = batch({paint}, {plan("coat", 1, 1)});
  log(work, "coat", t0, {"F5"});
  const Date food = date_of(work, food_contact, house(), t0);
  CHECK_FALSE(food.at);
  CHECK_FALSE(food.guessed);
  CHECK(food.why ==
        std::vector<std::string>{"no wait to food contact is known for F5 milk paint: "
                                 "neither its label nor the usual range of its kind gives "
                                 "one"});
  CHECK(date_of(work, pack, house(), t0).at == t0 + 100h);
  // One silent finish among several is enough.
  work.tins["F1"] = oil();
  log(work, "coat", t0 + 200h, {"F1"});
  CHECK_FALSE(date_of(work, food_contact, house(), t0 + 201h).at);
}

TEST_CASE("a date that the cold forbids is absent and says why") {
  BatchWork work = batch({glue(), oil()}, oil_steps);
  log(work, "glue-up", t0, {"G1"});
  const Date date = date_of(work, clamps_off, in_garage({}, 8, 50), t0);
  CHECK_FALSE(date.at);
  REQUIRE(date.why.size() == 2);
  CHECK(date.why[0] ==
        "as conditions stand, the wait of 1 h of G1 wood glue is not reached within "
        "ten years: below 12 °C nothing cures");
  CHECK(date.why[1] == "no reading in Garage, the declared 8 °C and 50 % count");
}

TEST_CASE("dates follow the piece and the batch takes the latest") {
  BatchWork work = batch({oil()}, {plan("coat", 1, 2)});
  log(work, "coat", t0, {"F1"}, {1, 2});
  log(work, "coat", t0 + 10h, {"F1"}, {3, 4});
  log(work, "coat", t0 + 30h, {"F1"}, {1});
  const Instant now = t0 + 31h;
  CHECK(progress(work, 1).coats_done == 2);
  CHECK(progress(work, 3).coats_done == 1);
  CHECK(progress(work, 0).coats_done == 1);
  CHECK(names(dates(work, 1, house(), now)) == "handle pack food-contact");
  CHECK(date_of(work, next_coat, house(), now, 2).at == t0 + 24h);
  CHECK(date_of(work, next_coat, house(), now, 4).at == t0 + 34h);
  CHECK(date_of(work, next_coat, house(), now).at == t0 + 34h);
  CHECK(date_of(work, food_contact, house(), now, 1).at == t0 + 750h);
  CHECK_FALSE(date_of(work, food_contact, house(), now, 1).guessed);
  const Date whole = date_of(work, food_contact, house(), now);
  CHECK(whole.at == t0 + 34h + 720h);
  CHECK(whole.guessed);
  // A piece that no longer counts holds nobody up.
  work.pieces = {1};
  CHECK(date_of(work, food_contact, house(), now).at == t0 + 750h);
  CHECK(progress(work, 0).coats_done == 2);
}

TEST_CASE("a piece without its date leaves the batch without it") {
  BatchWork work = batch({oil()}, {plan("coat", 1, 1)});
  log(work, "coat", t0, {"F1"}, {1, 2, 3});
  CHECK(date_of(work, food_contact, house(), t0, 3).at);
  const Date whole = date_of(work, food_contact, house(), t0);
  CHECK_FALSE(whole.at);
  CHECK(whole.why == std::vector<std::string>{"no coat is logged yet"});
}

TEST_CASE("one piece past its longest wait asks the batch for a scuff") {
  BatchWork work = batch({varnish()}, {plan("coat", 1)});
  log(work, "coat", t0, {"F3"}, {1, 2});
  log(work, "coat", t0 + 20h, {"F3"}, {3, 4});
  CHECK_FALSE(date_of(work, next_coat, house(), t0 + 30h, 3).scuff_first);
  const Date whole = date_of(work, next_coat, house(), t0 + 30h);
  CHECK(whole.at == t0 + 32h);
  CHECK(whole.scuff_first);
}

TEST_CASE("the batch's date is a guess where any piece's is") {
  Tin silent = oil();
  silent.id = "F7";
  silent.label.pack = usual_h(20);
  BatchWork work = batch({oil()}, {plan("coat", 1, 1)});
  work.tins["F7"] = silent;
  log(work, "coat", t0, {"F1"}, {1, 2});
  log(work, "coat", t0, {"F7"}, {3, 4});
  CHECK_FALSE(date_of(work, pack, house(), t0, 1).guessed);
  CHECK(date_of(work, pack, house(), t0, 3).guessed);
  const Date whole = date_of(work, pack, house(), t0);
  CHECK(whole.at == t0 + 336h);
  CHECK(whole.guessed);
  CHECK(whole.why.size() == 1);
}

TEST_CASE("the earliest upper end of any piece is the batch's") {
  BatchWork work = batch({varnish()}, {plan("coat", 1)});
  log(work, "coat", t0, {"F3"}, {1, 2});
  log(work, "coat", t0 + 5h, {"F3"}, {3, 4});
  CHECK(date_of(work, next_coat, house(), t0 + 6h).at == t0 + 17h);
  CHECK(date_of(work, next_coat_by, house(), t0 + 6h).at == t0 + 24h);
}

TEST_CASE("no date of a random batch falls before its step plus the label's wait") {
  std::mt19937 dice(21);
  for (int round = 0; round < 300; ++round) {
    BatchWork work = batch({glue(), oil(), varnish()}, {plan("coat", 1, 2), plan("coat", 2, 1)});
    const auto hours = [&](int low, int high) {
      return std::chrono::hours(std::uniform_int_distribution<int>(low, high)(dice));
    };
    Instant at = t0 - hours(0, 40);
    log(work, "glue-up", at, {"G1"});
    const int coats = static_cast<int>(hours(1, 3).count());
    for (int i = 0; i < coats; ++i) log(work, "coat", at += hours(5, 90), {i < 2 ? "F1" : "F3"});
    Stay stay = random_stay(dice);
    const Conditions conditions({stay});
    std::vector<Date> all = dates(work, 0, conditions, at);
    for (const Date& date : all) {
      if (!date.at) {
        CHECK_FALSE(date.why.empty());
        continue;
      }
      REQUIRE(date.wait);
      CHECK(date.guessed == !date.why.empty());
      const Instant bare = date.wait->start + Seconds(date.wait->label.value);
      if (date.name == next_coat_by)
        CHECK(*date.at <= bare);
      else
        CHECK(*date.at >= bare);
      if (date.name == food_contact)
        for (const Step& step : work.steps)
          CHECK(*date.at >= step.at.at + (step.kind == "coat" ? 720h : 24h));
    }
    // Neither a longer label nor a colder shop brings any date forward.
    const auto none_earlier = [&](const std::vector<Date>& later) {
      REQUIRE(later.size() == all.size());
      for (std::size_t i = 0; i < all.size(); ++i)
        CHECK(later[i].at.value_or(Instant::max()) >= all[i].at.value_or(Instant::max()));
    };
    BatchWork longer = work;
    for (auto& [id, t] : longer.tins)
      for (auto figure : {&Label::recoat_min, &Label::handle, &Label::pack, &Label::food_contact,
                          &Label::clamp, &Label::full_cure})
        if (t.label.*figure) (t.label.*figure)->value += 3600;
    none_earlier(dates(longer, 0, conditions, at));
    for (Reading& reading : stay.readings) reading.temp.milli -= 1500;
    none_earlier(dates(work, 0, Conditions({stay}), at));
  }
}
