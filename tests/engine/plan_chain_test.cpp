#include "engine/plan_chain.h"

#include <catch2/catch.hpp>

#include "shop.h"

using namespace trencher;
using namespace trencher::engine;
using namespace trencher::engine::shop;

namespace {

constexpr Minutes an_hour = 60, a_day = 24 * 60;

PlanTerms terms(Instant now, Minutes sitting = 8 * an_hour) {
  PlanTerms out;
  out.now = now;
  for (int day = -5; day < 100; ++day) out.sittings.push_back({day * a_day, day * a_day + sitting});
  out.minutes = {{"glue-up", 10}, {"sand", 20}, {"raise-grain", 4},
                 {"coat", 5},     {"scuff", 2}, {"inspect", 3}};
  return out;
}

const std::vector<int> all_four{1, 2, 3, 4};

std::string steps(const PlanChain& chain) {
  std::string out;
  for (const PlannedWork& work : chain.work)
    out += (out.empty() ? "" : " ") + work.step + (work.scuff ? "+scuff" : "");
  return out;
}

}  // namespace

TEST_CASE("chain: a fresh batch asks for the whole way of finishing") {
  const BatchWork work = batch({glue(), oil()}, oil_steps);
  const PlanChain chain = chain_of(work, all_four, house(), terms(t0 + 2400h));
  REQUIRE(chain.impossible.empty());
  CHECK(steps(chain) == "glue-up sand raise-grain raise-grain coat coat+scuff coat+scuff inspect");
  const auto& tasks = chain.batch.tasks;
  // At the labels' reference every wait is the label's.
  CHECK(tasks[0].length == 40);
  CHECK(tasks[0].cure == a_day);
  CHECK(tasks[1].wait == a_day);  // the glue's full cure
  CHECK(tasks[2].wait == 0);
  CHECK(tasks[3].wait == 12 * an_hour);  // wetted wood dries
  CHECK(tasks[4].wait == 12 * an_hour);
  CHECK(tasks[5].wait == a_day);
  CHECK(tasks[5].length == 4 * (5 + 2));
  CHECK(tasks[6].cure == 30 * a_day);
  CHECK_FALSE(tasks[5].longest);
  CHECK(tasks[7].after_cure);
  CHECK(chain.batch.onto_rack == 4);
  CHECK(chain.batch.last_on_rack == 6);
  CHECK(chain.batch.drying == 2 * a_day);
  CHECK(chain.batch.boards == 4);
}

TEST_CASE("chain: cold makes the waits longer and never shorter") {
  const BatchWork work = batch({glue(), oil()}, oil_steps);
  const PlanTerms when = terms(t0 + 2400h);
  const PlanChain warm = chain_of(work, all_four, in_garage(steady(2400, 30, 50)), when);
  const PlanChain even = chain_of(work, all_four, house(), when);
  const PlanChain cool = chain_of(work, all_four, in_garage(steady(2400, 14, 50)), when);
  for (std::size_t k = 0; k < even.batch.tasks.size(); ++k) {
    CHECK(warm.batch.tasks[k].wait == even.batch.tasks[k].wait);
    CHECK(cool.batch.tasks[k].wait >= even.batch.tasks[k].wait);
    CHECK(cool.batch.tasks[k].cure >= even.batch.tasks[k].cure);
  }
  // Arrhenius at 60 kJ/mol between 14 and 20 °C, by hand: exp(-7216.7 (1/287.15 - 1/293.15)) is
  // 0.59793; a day becomes 40.139 h.
  CHECK(cool.batch.tasks[5].wait == Approx(a_day / 0.59793).margin(2));
  const PlanChain frozen = chain_of(work, all_four, in_garage(steady(2400, 5, 50)), when);
  REQUIRE(frozen.impossible.size() >= 1);
  CHECK(frozen.impossible[0].find("below 12 °C nothing cures") != std::string::npos);
}

TEST_CASE("chain: work that is under way begins when its coat is due and stands on the rack") {
  BatchWork work = batch({glue(), oil()}, oil_steps);
  log(work, "glue-up", t0, {"G1"});
  log(work, "sand", t0 + 30h);
  log(work, "coat", t0 + 40h, {"F1"});
  const PlanChain chain = chain_of(work, all_four, house(), terms(t0 + 41h));
  CHECK(steps(chain) == "coat+scuff coat+scuff inspect");
  CHECK(chain.batch.not_before == 23 * an_hour);
  CHECK(chain.batch.cured == 30 * a_day - an_hour);
  CHECK_FALSE(chain.batch.onto_rack);
  CHECK(chain.batch.last_on_rack == 1);
  // All coats on and dry to handle: it is off the rack, and only the cure is waited for.
  log(work, "coat", t0 + 65h, {"F1"});
  log(work, "coat", t0 + 90h, {"F1"});
  const PlanChain wet = chain_of(work, all_four, house(), terms(t0 + 91h));
  CHECK(steps(wet) == "inspect");
  CHECK(wet.batch.off_rack == 47 * an_hour);
  const PlanChain dry = chain_of(work, all_four, house(), terms(t0 + 200h));
  CHECK(dry.batch.boards == 0);
}

TEST_CASE("chain: a longest wait is kept where it can be and a scuff planned where it cannot") {
  const std::vector<ScheduleStep> bare{plan("sand"), plan("coat", 1), plan("inspect")};
  BatchWork work = batch({varnish()}, bare);
  const PlanChain chain = chain_of(work, all_four, house(), terms(t0 + 2400h));
  CHECK(steps(chain) == "sand coat coat inspect");
  CHECK(chain.batch.tasks[2].longest == a_day);
  CHECK(chain.batch.tasks[2].back == 1);
  // At 5 °C the shortest wait ends after the longest, which cold does not lengthen.
  const PlanChain cold =
      chain_of(work, all_four, in_garage(steady(2400, 5, 50)), terms(t0 + 2400h));
  CHECK(steps(cold) == "sand coat coat+scuff inspect");
  CHECK_FALSE(cold.batch.tasks[2].longest);
  REQUIRE(cold.notes.size() == 1);
  // A coat is on and no sitting falls into what is left of its window.
  log(work, "sand", t0);
  log(work, "coat", t0 + 1h, {"F3"});
  const PlanChain late = chain_of(work, all_four, house(), terms(t0 + 2h, 3 * an_hour));
  CHECK(steps(late) == "coat+scuff inspect");
  CHECK_FALSE(late.batch.first_done_by);
  // With the whole day in the shop there is one.
  const PlanChain soon = chain_of(work, all_four, house(), terms(t0 + 2h, 20 * an_hour));
  CHECK(steps(soon) == "coat inspect");
  CHECK(soon.batch.first_done_by == 23 * an_hour);
}

TEST_CASE("chain: what no sitting is long enough for is divided by boards") {
  const BatchWork work = batch({oil()}, oil_steps);
  const PlanChain chain = chain_of(work, all_four, house(), terms(t0 + 2400h, 50));
  // 20 min a board to sand: two at a time.
  CHECK(chain.work[0].pieces == std::vector<int>{1, 2});
  CHECK(chain.work[1].pieces == std::vector<int>{3, 4});
  CHECK(chain.batch.tasks[0].length == 40);
  CHECK(chain.work[2].pieces.empty());
}
