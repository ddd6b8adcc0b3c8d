// Findings on tins that were opened, withdrawn, mixed, of two label versions, and on boards in two
// places or back from use.
#include <algorithm>

#include "findings_fixture.h"

using namespace findings_fixture;

namespace {

Tin mix_of_f1() {
  Tin mix;
  mix.entry = 9;
  mix.at = moment(-50);
  mix.id = "F7";
  mix.stock = "finish";
  mix.kind = mix_kind;
  mix.name = "Butter";
  mix.mixed_from = {{"F1", {}, false}};
  return mix;
}

// All coats from a mix of F1.
SuitabilityFacts facts_with_mix() {
  SuitabilityFacts f = good_facts();
  f.work.tins["F7"] = mix_of_f1();
  f.work.batch.finish = {"F7"};
  for (Step& s : f.work.steps)
    if (s.kind == "coat") s.drawn = {{"F7", {}, false}};
  resolve_mixes(f.work.tins);
  return f;
}

}  // namespace

TEST_CASE("findings: a tin past its opened life is out of date") {
  SuitabilityFacts f = good_facts();
  Tin& oil = f.work.tins.at("F1");
  oil.best_before = march(31);
  CHECK(judged(f, "tin-out-of-date") == "fine");
  oil.opened = moment(-48);
  oil.label.opened_life = from_label(2 * a_day);
  // Opened two days before the glue-up; both coats come after its life has ended.
  CHECK(judged(f, "tin-out-of-date") == "stop");
  oil.label.opened_life = from_label(30 * a_day);
  CHECK(judged(f, "tin-out-of-date") == "fine");
}

TEST_CASE("findings: a mix past its pot life is a stop") {
  SuitabilityFacts f = facts_with_mix();
  CHECK(judged(f, "pot-life").empty());
  f.work.tins.at("F1").label.pot_life = from_label(3600);
  Instant last{};
  for (const Step& s : f.work.steps)
    if (s.kind == "coat") last = std::max(last, s.at.at);
  f.work.tins.at("F7").at = {last - Seconds(3601), 0};
  resolve_mixes(f.work.tins);
  CHECK(judged(f, "pot-life") == "stop");
  Instant first = last;
  for (const Step& s : f.work.steps)
    if (s.kind == "coat") first = std::min(first, s.at.at);
  f.work.tins.at("F1").label.pot_life = from_label((last - first).count() + 3600);
  f.work.tins.at("F7").at = {first, 0};
  resolve_mixes(f.work.tins);
  CHECK(judged(f, "pot-life") == "fine");
}

TEST_CASE("findings: a withdrawn tin is a stop that names the word") {
  SuitabilityFacts f = good_facts();
  f.withdrawn["F1"] = {20, moment(10), {"F1"}, "solvent found"};
  CHECK(judged(f, "tin-withdrawn") == "stop");
  const auto all = suitability(f, shop(), hour(500));
  CHECK(reason(all, "tin-withdrawn") == "F1 Board oil is withdrawn: solvent found.");
  // By way of a mix.
  f = facts_with_mix();
  CHECK(judged(f, "tin-withdrawn") == "fine");
  f.withdrawn["F7"] = {20, moment(10), {"F1"}, "solvent found"};
  CHECK(reason(suitability(f, shop(), hour(500)), "tin-withdrawn") ==
        "F7 Butter is withdrawn with what it was mixed from: solvent found.");
}

TEST_CASE("findings: a withdrawn wood lot is a stop on its boards and on what would go on them") {
  SuitabilityFacts f = good_facts();
  const auto is_wood = [](const Finding& finding) { return finding.check == "wood-withdrawn"; };
  const auto judged_now = suitability(f, shop(), hour(500));
  CHECK(std::none_of(judged_now.begin(), judged_now.end(), is_wood));
  const std::string lot = f.wood.front().id;
  f.withdrawn[lot] = {20, moment(10), {lot}, "treated after all"};
  CHECK(judged(f, "wood-withdrawn") == "stop");
  Step coat;
  coat.kind = "coat";
  coat.at = moment(400);
  coat.drawn = {{"F1", {}, false}};
  const auto on_coat = step_findings(f, coat, shop());
  CHECK(std::any_of(on_coat.begin(), on_coat.end(), is_wood));
  coat.kind = "sand";
  coat.drawn.clear();
  const auto on_sanding = step_findings(f, coat, shop());
  CHECK(std::none_of(on_sanding.begin(), on_sanding.end(), is_wood));
}

TEST_CASE("findings: a mix is judged by what it comes from") {
  SuitabilityFacts f = facts_with_mix();
  CHECK(judged(f, "finish-statement") == "fine");  // on F1
  CHECK(judged(f, "finish-in-schedule") == "fine");
  CHECK(judged(f, "mixed-tins") == "caution");
  CHECK(judged(f, "coat-temperature", shop(11)) == "caution");  // F1's lowest is 12
  f.statements.pop_back();
  CHECK(judged(f, "finish-statement") == "not known");
}

TEST_CASE("findings: two versions of one label in a batch are named") {
  SuitabilityFacts f = good_facts();
  Tin& first = f.work.tins.at("F1");
  first.product = "P1";
  first.product_version = 1;
  CHECK(judged(f, "label-versions").empty());
  Tin second = first;
  second.id = "F2";
  second.product_version = 2;
  f.work.tins["F2"] = second;
  f.work.steps[2].drawn = {{"F2", {}, false}};
  CHECK(judged(f, "label-versions") == "caution");
  CHECK(reason(suitability(f, shop(), hour(500)), "label-versions") ==
        "2 versions of the label of P1 stand in this batch: version 1 with F1 and version 2 with "
        "F2. Waits and papers may differ; each tin goes by its own.");
}

TEST_CASE("findings: coats from different lots of one product are named") {
  SuitabilityFacts f = good_facts();
  Tin second = f.work.tins.at("F1");
  second.id = "F2";
  f.work.tins["F2"] = second;
  f.work.steps[2].drawn = {{"F2", {}, false}};
  CHECK(judged(f, "lots-of-one-product").empty());  // of one lot
  f.work.tins.at("F2").lot = "B";
  f.work.tins.at("F1").lot = "A";
  CHECK(reason(suitability(f, shop(), hour(500)), "lots-of-one-product") ==
        "Board oil went on in coats from 2 lots: F1 of lot A and F2 of lot B. Colour and shine may "
        "differ where they meet.");
  f.work.tins.at("F2").name = "Another oil";
  CHECK(judged(f, "lots-of-one-product").empty());
}

TEST_CASE("findings: the coldest of air and wood and tin counts") {
  SuitabilityFacts f = good_facts();
  Step& coat = f.work.steps[1];
  coat.temp = Celsius{20000};
  coat.rh = Percent{450};
  CHECK(judged(f, "coat-temperature") == "fine");
  coat.wood_temp = Celsius{11000};
  CHECK(judged(f, "coat-temperature") == "caution");
  coat.wood_temp.reset();
  coat.tin_temp = Celsius{11000};
  CHECK(judged(f, "coat-temperature") == "caution");
  coat.tin_temp.reset();
  coat.surface_temp = Celsius{11000};
  CHECK(judged(f, "coat-temperature") == "caution");
}

TEST_CASE("findings: each coat is judged where its pieces are") {
  SuitabilityFacts f = good_facts();
  f.work.steps[1].pieces = {1};
  Step other = f.work.steps[1];
  other.entry = 14;
  other.pieces = {2};
  f.work.steps.insert(f.work.steps.begin() + 2, other);
  PieceConditions conditions(shop());
  conditions.set({2}, shop(11));
  const auto all = suitability(f, conditions, hour(500));
  CHECK(results(all, "coat-temperature") == "caution");
  for (const Finding& finding : all)
    if (finding.check == "coat-temperature") CHECK(finding.about == "entry 14");
}

TEST_CASE("findings: a board that came back is to be inspected anew") {
  SuitabilityFacts f = good_facts();
  CHECK(judged(f, "inspection") == "fine");
  Turn back;
  back.entry = 30;
  back.kind = Turn::Kind::take_back;
  back.at = moment(300);
  back.pieces = {2};
  f.work.turns = {back};
  CHECK(judged(f, "inspection") == "not known");
  CHECK(reason(suitability(f, shop(), hour(500)), "inspection") ==
        "No inspection of piece 2 is logged since it came back.");
}

TEST_CASE("findings: what lies over what is judged for each piece") {
  SuitabilityFacts f = good_facts();
  Tin wax = f.work.tins.at("F1");
  wax.id = "F2";
  wax.label.mechanism = Mechanism::wax_set;
  f.work.tins["F2"] = wax;
  // Wax on one board and oil on the other: nothing lies over anything.
  f.work.steps[1].drawn = {{"F2", {}, false}};
  f.work.steps[1].pieces = {1};
  f.work.steps[2].pieces = {2};
  f.work.batch.finish.clear();
  CHECK(judged(f, "finish-over-finish").empty());
  f.work.steps[2].pieces = {1};
  CHECK(judged(f, "finish-over-finish") == "caution");
}
