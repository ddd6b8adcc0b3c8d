// Findings on what was done: the air, the tins, the waits, coats, cold, inspections.
#include "findings_fixture.h"

using namespace findings_fixture;

namespace {

std::vector<Finding> on(const SuitabilityFacts& facts, const Step& s,
                        const Conditions& air = shop()) {
  return step_findings(facts, s, air);
}

// With only the glue-up and the first coat (at hour 30) behind it.
SuitabilityFacts after_first_coat() {
  SuitabilityFacts f = good_facts();
  f.work.steps.resize(2);
  return f;
}

SuitabilityFacts water_borne() {
  SuitabilityFacts f = good_facts();
  f.work.tins["F1"].label.mechanism = Mechanism::coalescing;
  return f;
}

constexpr Amount::Measure ml = Amount::Measure::volume;

}  // namespace

TEST_CASE("step findings: a coat in good air at the right time is fine throughout") {
  for (const Finding& f : on(after_first_coat(), step(0, "coat", 48, {"F1"}))) {
    INFO(f.check << ": " << f.reason);
    CHECK(f.result == Result::fine);
    CHECK(f.about == "this coat");
  }
}

TEST_CASE("step findings: a coat below the lowest temperature is a caution") {
  const Step coat = step(0, "coat", 48, {"F1"});
  CHECK(results(on(after_first_coat(), coat, shop(12)), "coat-temperature") == "fine");
  CHECK(results(on(after_first_coat(), coat, shop(11.5)), "coat-temperature") == "caution");
  CHECK(results(on(after_first_coat(), coat, no_readings()), "coat-temperature") == "not known");
  CHECK(results(on(after_first_coat(), coat, declared(11, 50)), "coat-temperature") == "caution");
  CHECK(results(on(after_first_coat(), coat, declared(20, 50)), "coat-temperature") == "not known");
}

TEST_CASE("step findings: what is logged with the step counts before the readings") {
  Step coat = step(0, "coat", 48, {"F1"});
  coat.temp = Celsius{20000};
  CHECK(results(on(after_first_coat(), coat, shop(5)), "coat-temperature") == "fine");
  coat.surface_temp = Celsius{11000};
  CHECK(results(on(after_first_coat(), coat, shop(20)), "coat-temperature") == "caution");
}

TEST_CASE("step findings: a coat in air that is too damp is a caution") {
  const Step coat = step(0, "coat", 48, {"F1"});
  CHECK(results(on(after_first_coat(), coat, shop(20, 70)), "coat-humidity") == "fine");
  CHECK(results(on(after_first_coat(), coat, shop(20, 71)), "coat-humidity") == "caution");
  CHECK(results(on(after_first_coat(), coat, no_readings()), "coat-humidity") == "not known");
}

// A building-physics dew point table with the same 3 °C rule: 20 °C and 70 % give 14.4 °C, so the
// surface must be at least 17.4 °C; 10 °C and 90 % give 8.4 and 11.4 °C.
TEST_CASE("step findings: the wood must be 3 degrees above the dew point") {
  Step coat = step(0, "coat", 48, {"F1"});
  const auto margin = [&](double temp, double rh, std::int64_t surface_mc) {
    coat.surface_temp = Celsius{surface_mc};
    return results(on(after_first_coat(), coat, shop(temp, rh)), "dew-point-margin");
  };
  CHECK(margin(20, 70, 17500) == "fine");
  CHECK(margin(20, 70, 17200) == "caution");
  CHECK(margin(10, 90, 11600) == "fine");
  CHECK(margin(10, 90, 11200) == "caution");
  coat.surface_temp.reset();
  CHECK(results(on(after_first_coat(), coat, shop(10, 90)), "dew-point-margin") == "caution");
  CHECK(results(on(after_first_coat(), coat, no_readings()), "dew-point-margin") == "not known");
}

TEST_CASE("step findings: an oil that never hardens has no dew point to keep") {
  SuitabilityFacts f = after_first_coat();
  f.work.tins["F1"].label.mechanism = Mechanism::non_drying;
  CHECK(results(on(f, step(0, "coat", 48, {"F1"}), shop(10, 95)), "dew-point-margin").empty());
}

TEST_CASE("step findings: a coat before the shortest wait is a stop to the second") {
  const SuitabilityFacts f = after_first_coat();
  Step coat = step(0, "coat", 42, {"F1"});
  CHECK(results(on(f, coat), "coat-too-early") == "fine");
  coat.at.at -= Seconds{1};
  CHECK(results(on(f, coat), "coat-too-early") == "stop");
  CHECK(reason(on(f, coat), "coat-too-early").find("Wed 3 Mar 2027 02:00") != std::string::npos);
}

TEST_CASE(
    "step findings: cold makes the shortest wait longer and a warm shop does not shorten it") {
  const SuitabilityFacts f = after_first_coat();
  CHECK(results(on(f, step(0, "coat", 42, {"F1"}), shop(15)), "coat-too-early") == "stop");
  CHECK(results(on(f, step(0, "coat", 41.9, {"F1"}), shop(35)), "coat-too-early") == "stop");
  // Below the lowest temperature nothing cures, however long.
  CHECK(results(on(f, step(0, "coat", 900, {"F1"}), shop(8)), "coat-too-early") == "stop");
}

TEST_CASE("step findings: a wait that only guessed conditions fulfil is not known") {
  CHECK(results(on(after_first_coat(), step(0, "coat", 48, {"F1"}), declared(20, 45)),
                "coat-too-early") == "not known");
}

TEST_CASE("step findings: a coat before a guessed date is a stop all the same") {
  CHECK(results(on(after_first_coat(), step(0, "coat", 43, {"F1"}), declared(15, 45)),
                "coat-too-early") == "stop");
}

TEST_CASE("step findings: the first coat waits for the glue") {
  SuitabilityFacts f = good_facts();
  f.work.steps.resize(1);
  CHECK(results(on(f, step(0, "coat", 23, {"F1"})), "coat-too-early") == "stop");
  CHECK(results(on(f, step(0, "coat", 24, {"F1"})), "coat-too-early") == "fine");
}

TEST_CASE("step findings: a coat more than planned keeps the wait too") {
  SuitabilityFacts f = good_facts();  // both planned coats are on, the last at hour 48
  CHECK(results(on(f, step(0, "coat", 59, {"F1"})), "coat-too-early") == "stop");
  CHECK(results(on(f, step(0, "coat", 60, {"F1"})), "coat-too-early") == "fine");
  f.work.batch.schedule.steps.clear();
  CHECK(results(on(f, step(0, "coat", 59, {"F1"})), "coat-too-early") == "stop");
}

TEST_CASE("step findings: a coat on some pieces is judged by those") {
  SuitabilityFacts f = after_first_coat();
  f.work.steps[1].pieces = {1};
  f.work.steps.push_back(step(12, "coat", 40, {"F1"}));
  f.work.steps[2].pieces = {2};
  Step coat = step(0, "coat", 45, {"F1"});
  coat.pieces = {1};
  CHECK(results(on(f, coat), "coat-too-early") == "fine");
  coat.pieces = {1, 2};
  CHECK(results(on(f, coat), "coat-too-early") == "stop");
  coat.pieces.clear();
  CHECK(results(on(f, coat), "coat-too-early") == "stop");
}

TEST_CASE("step findings: after the longest wait a coat wants a scuff") {
  SuitabilityFacts f = after_first_coat();
  const Step coat = step(0, "coat", 80, {"F1"});
  CHECK(results(on(f, step(0, "coat", 77, {"F1"})), "coat-window") == "fine");
  CHECK(results(on(f, coat), "coat-window") == "caution");
  f.work.steps.push_back(step(12, "scuff", 79));
  CHECK(results(on(f, coat), "coat-window") == "fine");
}

TEST_CASE("step findings: a step that is logged late is judged by what came before it") {
  SuitabilityFacts f = good_facts();
  CHECK(results(on(f, step(0, "coat", 43, {"F1"})), "coat-too-early") == "fine");
}

TEST_CASE("step findings: a tin cannot give more than it holds") {
  SuitabilityFacts f = after_first_coat();
  f.left["F1"] = {ml, 50000};
  Step coat = step(0, "coat", 48, {"F1"});
  CHECK(results(on(f, coat), "tin-empty").empty());
  coat.drawn[0].amount = Amount{ml, 50000};
  CHECK(results(on(f, coat), "tin-empty") == "fine");
  coat.drawn[0].amount = Amount{ml, 50001};
  CHECK(results(on(f, coat), "tin-empty") == "stop");
  coat.drawn[0].estimated = true;
  CHECK(results(on(f, coat), "tin-empty") == "caution");
  coat.drawn[0].amount = Amount{Amount::Measure::mass, 10};
  CHECK(results(on(f, coat), "tin-empty") == "not known");
  f.left["F1"] = {ml, 0};
  CHECK(results(on(f, coat), "tin-empty") == "stop");
  f.left.clear();
  CHECK(results(on(f, coat), "tin-empty").empty());
}

TEST_CASE("step findings: amounts are shown in the shop's units") {
  SuitabilityFacts f = after_first_coat();
  f.left["F1"] = {ml, 50000};
  f.units = Units::us;
  Step coat = step(0, "coat", 48, {"F1"});
  coat.drawn[0].amount = Amount{ml, 60000};
  CHECK(reason(on(f, coat), "tin-empty") ==
        "F1 Board oil holds 1.7 fl oz by the record, and 2 fl oz is drawn.");
}

TEST_CASE("step findings: a tin is used neither past its date nor before it came") {
  SuitabilityFacts f = after_first_coat();
  const Step coat = step(0, "coat", 48, {"F1"});  // Wednesday 3 March, 08:00
  f.work.tins["F1"].best_before = march(3);
  CHECK(results(on(f, coat), "tin-out-of-date") == "fine");
  f.work.tins["F1"].best_before = march(2);
  CHECK(results(on(f, coat), "tin-out-of-date") == "stop");
  f.work.tins["F1"].at = moment(48);
  CHECK(results(on(f, coat), "tin-not-yet-received") == "fine");
  f.work.tins["F1"].at = moment(49);
  CHECK(results(on(f, coat), "tin-not-yet-received") == "stop");
}

TEST_CASE("step findings: the best-before is held against the day of the workshop") {
  SuitabilityFacts f = after_first_coat();
  f.work.tins["F1"].best_before = march(2);
  Step coat = step(0, "coat", 40.5, {"F1"});  // 00:30 UTC on the 3rd
  CHECK(results(on(f, coat), "tin-out-of-date") == "stop");
  coat.at.offset_minutes = -300;  // still the 2nd
  CHECK(results(on(f, coat), "tin-out-of-date") == "fine");
}

TEST_CASE("step findings: glue that is spread too cold is a stop") {
  SuitabilityFacts f = good_facts();
  f.work.steps.clear();
  Step glue = step(0, "glue-up", 0, {"G1"});
  CHECK(results(on(f, glue, shop(10)), "glue-temperature") == "fine");
  CHECK(results(on(f, glue, shop(9)), "glue-temperature") == "stop");
  CHECK(results(on(f, glue, no_readings()), "glue-temperature") == "not known");
  CHECK(results(on(f, glue, declared(9, 45)), "glue-temperature") == "caution");
  glue.temp = Celsius{9999};
  CHECK(results(on(f, glue, shop(20)), "glue-temperature") == "stop");
  f.work.tins["G1"].label.lowest_temp.reset();
  CHECK(results(on(f, glue), "glue-temperature") == "not known");
}

TEST_CASE("step findings: a step without its tin and a mixture of tins are named") {
  SuitabilityFacts f = after_first_coat();
  CHECK(results(on(f, step(0, "coat", 48)), "tin-named") == "not known");
  f.work.tins["F2"] = f.work.tins["F1"];
  f.work.tins["F2"].id = "F2";
  CHECK(results(on(f, step(0, "coat", 48, {"F1", "F2"})), "mixed-tins") == "caution");
  CHECK(results(on(f, step(0, "glue-up", 48, {"G1"})), "glue-over-finish") == "caution");
}

TEST_CASE("suitability: a check that every step passed is said once") {
  const auto findings = suitability(good_facts(), shop(), hour(500));
  CHECK(results(findings, "coat-temperature") == "fine");
  CHECK(results(findings, "tin-not-yet-received") == "fine");
  SuitabilityFacts f = good_facts();
  f.work.steps[1].temp = Celsius{5000};
  CHECK(judged(f, "coat-temperature") == "caution");
}

TEST_CASE("suitability: a water-borne film that formed too cold is a stop") {
  // From hour 60 on, an hour at 8 °C between warm readings: inside the day that the film takes.
  Stay stay = steady(20, 45);
  for (const double h : {60.0, 61.0})
    stay.readings.push_back({1, hour(h), Celsius{8000}, Percent{450}});
  const Conditions cold({stay});
  CHECK(judged(water_borne(), "cure-below-lowest") == "fine");
  CHECK(judged(water_borne(), "cure-below-lowest", cold) == "stop");
  CHECK(judged(good_facts(), "cure-below-lowest", cold).empty());  // oil goes on once it is warm
  CHECK(judged(water_borne(), "cure-below-lowest", declared(8, 45)) == "caution caution");
  CHECK(judged(water_borne(), "cure-below-lowest", declared(20, 45)) == "not known");
}

TEST_CASE("suitability: cold after the film has formed is no finding") {
  Stay stay = steady(20, 45);
  for (const double h : {100.0, 101.0})
    stay.readings.push_back({1, hour(h), Celsius{5000}, Percent{450}});
  CHECK(judged(water_borne(), "cure-below-lowest", Conditions({stay})) == "fine");
}

TEST_CASE("suitability: glue must stay warm in the clamps") {
  Stay stay = steady(20, 45);
  stay.readings.push_back({1, hour(0.5), Celsius{5000}, Percent{450}});
  CHECK(judged(good_facts(), "glue-cold-in-clamps", Conditions({stay})) == "stop");
  CHECK(judged(good_facts(), "glue-cold-in-clamps") == "fine");
}

TEST_CASE("suitability: what is to be said alike of several steps is said once") {
  const auto findings = suitability(good_facts(), no_readings(), hour(500));
  CHECK(results(findings, "coat-humidity") == "not known");
  for (const Finding& f : findings)
    if (f.check == "coat-humidity") CHECK(f.about == "entry 11, entry 12");
}

TEST_CASE("suitability: what two steps did amiss in different ways is said of each") {
  SuitabilityFacts f = good_facts();
  std::int64_t milli = 9000;
  for (Step& s : f.work.steps)
    if (s.kind == "coat") s.temp = Celsius{milli += 1000};
  std::vector<std::string> reasons;
  for (const Finding& found : suitability(f, shop(20), hour(400)))
    if (found.check == "coat-temperature") reasons.push_back(found.reason);
  REQUIRE(reasons.size() == 2);
  CHECK(reasons[0].find("10 °C") != std::string::npos);
  CHECK(reasons[1].find("11 °C") != std::string::npos);
}

TEST_CASE("suitability: coats are counted against the plan piece by piece") {
  CHECK(judged(good_facts(), "coats-count") == "fine");
  SuitabilityFacts f = after_first_coat();
  CHECK(judged(f, "coats-count") == "caution");
  f.work.steps.resize(1);
  CHECK(judged(f, "coats-count") == "not known");
  f = good_facts();
  f.work.steps[2].pieces = {1};
  CHECK(judged(f, "coats-count") == "caution fine");
  CHECK(reason(suitability(f, shop(), hour(500)), "coats-count").find("on piece 2") !=
        std::string::npos);
  f.work.pieces = {1};  // piece 2 was scrapped
  CHECK(judged(f, "coats-count") == "fine");
}

TEST_CASE("suitability: the last inspection of each piece counts if no coat came after it") {
  SuitabilityFacts f = good_facts();
  CHECK(judged(f, "inspection") == "fine");
  f.work.steps[3].result = "not-sound";
  CHECK(judged(f, "inspection") == "stop");
  f.work.steps.push_back(step(14, "inspect", 101));
  CHECK(judged(f, "inspection") == "fine");
  f.work.steps[4].pieces = {1};
  CHECK(judged(f, "inspection") == "stop");
  f = good_facts();
  f.work.steps[3].pieces = {2};
  CHECK(judged(f, "inspection") == "not known");
  f.work.steps.pop_back();
  CHECK(judged(f, "inspection") == "not known");
  f = good_facts();
  f.work.steps.push_back(step(14, "coat", 102, {"F1"}));
  CHECK(judged(f, "inspection") == "not known");
}

TEST_CASE("suitability: rags that nobody confirmed and a tin drawn below empty are cautions") {
  SuitabilityFacts f = good_facts();
  f.open_rags = {11, 12};
  CHECK(judged(f, "rags-open") == "caution caution");
  f.left["F1"] = {ml, -30000};
  CHECK(judged(f, "tin-empty") == "caution");
}
