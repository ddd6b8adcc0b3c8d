#include "engine/mix.h"

#include <catch2/catch.hpp>

#include "domain/error.h"
#include "shop.h"

using namespace trencher;
using namespace trencher::engine;
using namespace trencher::engine::shop;

namespace {

Tin mix_of(const std::string& id, const std::vector<std::string>& parts) {
  Tin out = tin(id, "mix " + id, Mechanism::none);
  out.kind = mix_kind;
  for (const std::string& part : parts) out.mixed_from.push_back({part, {}, false});
  return out;
}

Day day(int year, unsigned month, unsigned d) {
  return {std::chrono::year{year}, std::chrono::month{month}, std::chrono::day{d}};
}

// F8 of F7 and F2, F7 of F1 and F2.
Tins jar() {
  Tins tins;
  for (const Tin& one : {oil(), wax(), mix_of("F7", {"F1", "F2"}), mix_of("F8", {"F7", "F2"})})
    tins[one.id] = one;
  tins.at("F1").best_before = day(2028, 1, 31);
  tins.at("F2").best_before = day(2027, 6, 30);
  return tins;
}

std::vector<std::string> ids(const std::vector<const Tin*>& tins) {
  std::vector<std::string> out;
  for (const Tin* one : tins) out.push_back(one->id);
  return out;
}

}  // namespace

TEST_CASE("mix: a mix of mixes comes from each received tin once") {
  const Tins tins = jar();
  CHECK(ids(sources(tins, "F8")) == std::vector<std::string>{"F1", "F2"});
  CHECK(ids(sources(tins, "F1")) == std::vector<std::string>{"F1"});
  CHECK(sources(tins, "F99").empty());
  CHECK(ids(mixes_between(tins, "F8", "F1")) == std::vector<std::string>{"F8", "F7"});
  CHECK(mixes_between(tins, "F1", "F1").empty());
  CHECK(engine::holds(tins, "F8", "F1"));
  CHECK(engine::holds(tins, "F8", "F7"));
  CHECK_FALSE(engine::holds(tins, "F7", "F8"));
}

TEST_CASE("mix: it is good until the first of its sources is not") {
  Tins tins = jar();
  resolve_mixes(tins);
  CHECK(tins.at("F8").best_before == day(2027, 6, 30));
  // The opened life of a source ends before its best-before.
  tins.at("F1").label.opened_life = Figure{30 * 86400};
  tins.at("F1").opened = Moment{t0, 0};
  resolve_mixes(tins);
  CHECK(tins.at("F8").best_before == day(2027, 1, 4));
  // One without any date does not take away the others'.
  tins.at("F2").best_before.reset();
  resolve_mixes(tins);
  CHECK(tins.at("F8").best_before == day(2027, 1, 4));
}

TEST_CASE("mix: a pot life counts from the mix that its source went into") {
  Tins tins = jar();
  resolve_mixes(tins);
  CHECK_FALSE(tins.at("F8").pot_until);
  tins.at("F1").label.pot_life = Figure{40 * 60};
  tins.at("F7").at = Moment{t0, 60};
  tins.at("F8").at = Moment{t0 + Seconds(1800), 60};
  resolve_mixes(tins);
  CHECK(tins.at("F7").pot_until == Moment{t0 + Seconds(2400), 60});
  CHECK(tins.at("F8").pot_until == Moment{t0 + Seconds(2400), 60});
  // One that is shorter ends first, counted from where it went in first.
  tins.at("F2").label.pot_life = Figure{5 * 60};
  resolve_mixes(tins);
  CHECK(tins.at("F8").pot_until->at == t0 + Seconds(300));
}

TEST_CASE("mix: the strictest limits and the slowest mechanism lead") {
  Tins tins = jar();
  tins.at("F1").label.highest_rh = Figure{700};
  tins.at("F2").label.highest_rh = Figure{650};
  tins.at("F2").label.lowest_temp = Figure{5000};
  resolve_mixes(tins);
  const Label& label = tins.at("F8").label;
  CHECK(label.mechanism == Mechanism::oxidative);
  CHECK(label.lowest_temp->value == 10000);
  CHECK(label.highest_rh->value == 650);
  CHECK(label.coats->value == 3);
  CHECK(label.coats->usual);
  CHECK_FALSE(label.food_contact.has_value());  // each source's own counts
}

TEST_CASE("mix: one that holds itself is refused") {
  Tins tins = jar();
  tins.at("F7").mixed_from.push_back({"F8", {}, false});
  CHECK_THROWS_AS(resolve_mixes(tins), Error);
}

TEST_CASE("a coat from a mix waits for each of its sources") {
  BatchWork work = batch({oil(), wax(), mix_of("F7", {"F1", "F2"})}, {plan("coat", 1, 1)});
  work.batch.finish = {"F7"};
  resolve_mixes(work.tins);
  log(work, "coat", t0, {"F7"});
  // The oil waits 30 days and the wax 2.
  CHECK(*date_of(work, food_contact, house(), t0 + 1h).at == t0 + 30 * 24h);
  work.tins.at("F2").label.food_contact = h(40 * 24);
  CHECK(*date_of(work, food_contact, house(), t0 + 1h).at == t0 + 40 * 24h);
  // Where one of them has no figure none can be given.
  work.tins.at("F2").label.food_contact.reset();
  CHECK_FALSE(date_of(work, food_contact, house(), t0 + 1h).at.has_value());
  CHECK(progress(work, 0).next_step == "sign-off");
}
