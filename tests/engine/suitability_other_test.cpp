// Findings on fillers, feet, inlays, wipes and other parts that are fitted to a board.
#include "findings_fixture.h"

using namespace findings_fixture;

namespace {

OtherKind kind(const std::string& role, const std::string& on_food_face) {
  OtherKind k;
  k.id = role + "-" + on_food_face;
  k.name = "Some " + role;
  k.role = role;
  k.on_food_face = on_food_face;
  k.notes = "A note.";
  return k;
}

// A batch in order, into which one part of that kind was fitted.
SuitabilityFacts with_part(const OtherKind& of, const std::string& use = "cutting-board") {
  SuitabilityFacts f = good_facts();
  f.work.batch.use = use;
  f.other_kinds[of.id] = of;
  Tin x;
  x.entry = 20;
  x.at = moment(-50);
  x.id = "X1";
  x.stock = "other";
  x.kind = of.id;
  x.name = "Part";
  x.label.mechanism = of.mechanism;
  f.work.tins["X1"] = x;
  f.work.steps.insert(f.work.steps.begin() + 1, step(21, "fit", 26, {"X1"}));
  f.statements.push_back(food_statement(22, "X1"));
  return f;
}

std::string on_use(const std::string& role, const std::string& on_food_face,
                   const std::string& use) {
  return judged(with_part(kind(role, on_food_face), use), "other-on-use");
}

SuitabilityFacts filled() {
  OtherKind filling = kind("filler", "fine");
  filling.mechanism = Mechanism::two_part;
  return with_part(filling);
}

}  // namespace

TEST_CASE("suitability: a batch without fitted parts has no finding on any") {
  for (const char* check : {"other-on-use", "other-statement", "other-cure", "part-named"})
    CHECK(judged(good_facts(), check).empty());
}

TEST_CASE("suitability: a part in the face is judged by what the face is for") {
  CHECK(on_use("filler", "stop", "cutting-board") == "stop");
  CHECK(on_use("filler", "stop", "salad-bowl") == "stop");
  CHECK(on_use("filler", "stop", "utensil") == "stop");
  CHECK(on_use("filler", "stop", "serving-board") == "caution");
  CHECK(on_use("inlay", "caution", "cutting-board") == "caution");
  CHECK(on_use("inlay", "caution", "serving-board") == "caution");
  CHECK(on_use("wipe", "fine", "cutting-board") == "fine");
}

TEST_CASE("suitability: feet and cords and hardware belong off the face and are never a stop") {
  for (const char* role : {"feet", "cord", "hardware"})
    for (const char* on_food_face : {"stop", "caution"})
      CHECK(on_use(role, on_food_face, "cutting-board") == "caution");
  CHECK(on_use("feet", "fine", "cutting-board") == "fine");
  CHECK(reason(suitability(with_part(kind("feet", "stop")), shop(), hour(500)), "other-on-use") ==
        "X1 Part (Some feet) belongs off the face that food or a knife touches, and the record "
        "does not tell where it sits. A note.");
}

TEST_CASE("suitability: a part that can come loose from a toy points to the toy rules") {
  for (const char* role : {"feet", "cord", "inlay", "plug", "hardware"}) {
    const auto findings = suitability(with_part(kind(role, "fine"), "toy"), shop(), hour(500));
    CHECK(results(findings, "other-on-use") == "caution");
    CHECK(reason(findings, "other-on-use").find("toy rules") != std::string::npos);
  }
  CHECK(on_use("wipe", "fine", "toy") == "fine");
  CHECK(on_use("dye", "stop", "toy") == "caution");
  CHECK(on_use("filler", "caution", "toy") == "caution");
}

TEST_CASE("suitability: a part of a kind outside the tables is not known") {
  SuitabilityFacts f = with_part(kind("filler", "fine"));
  f.other_kinds.clear();
  CHECK(judged(f, "other-on-use") == "not known");
}

TEST_CASE("suitability: what went into a mix is judged by itself whatever stock the mix is") {
  SuitabilityFacts f = with_part(kind("filler", "caution"));
  f.other_kinds["dye-stop"] = kind("dye", "stop");
  Tin dye = f.work.tins["X1"];
  dye.id = "X2";
  dye.kind = "dye-stop";
  Tin mixed = dye;
  mixed.id = "X3";
  mixed.kind = mix_kind;
  mixed.mixed_from = {{"X1", {}, false}, {"X2", {}, false}};
  f.work.tins["X2"] = dye;
  f.work.tins["X3"] = mixed;
  f.work.steps[1].drawn[0].tin = "X3";
  CHECK(judged(f, "other-on-use") == "caution stop");
  CHECK(judged(f, "other-statement") == "fine not known");
  mixed.id = "G2";
  mixed.stock = "glue";
  mixed.mixed_from = {{"G1", {}, false}, {"X2", {}, false}};
  f.work.tins["G2"] = mixed;
  f.work.steps[1].drawn[0].tin = "G2";
  CHECK(judged(f, "other-on-use") == "stop");
}

TEST_CASE("suitability: without a food-contact statement a part is not known") {
  SuitabilityFacts f = with_part(kind("filler", "fine"));
  CHECK(judged(f, "other-statement") == "fine");
  f.statements.back().about = "ingredients";
  CHECK(judged(f, "other-statement") == "not known");
  f.work.tins["X1"].supplier = "Example Supply";
  CHECK(reason(suitability(f, shop(), hour(500)), "other-statement") ==
        "No food-contact statement on X1 Part is recorded: ask Example Supply.");
}

TEST_CASE("suitability: the cure of a part says whether its label gives it") {
  SuitabilityFacts f = filled();
  CHECK(judged(f, "other-cure") == "not known");
  f.work.tins["X1"].label.full_cure = Figure{30 * a_day, true};
  CHECK(judged(f, "other-cure") == "caution");
  CHECK(reason(suitability(f, shop(), hour(500)), "other-cure").find("30 d") != std::string::npos);
  f.work.tins["X1"].label.full_cure = from_label(7 * a_day);
  CHECK(judged(f, "other-cure") == "fine");
  f.work.tins["X1"].label.mechanism = Mechanism::none;
  CHECK(judged(f, "other-cure").empty());
}

TEST_CASE("suitability: a part is judged once however often it was fitted") {
  SuitabilityFacts f = filled();
  f.work.steps.push_back(step(30, "fit", 110, {"X1"}));
  CHECK(judged(f, "other-on-use") == "fine");
}

TEST_CASE("suitability: a part that is fitted from no tin has no papers") {
  SuitabilityFacts f = good_facts();
  f.work.steps.push_back(step(30, "fit", 110));
  CHECK(judged(f, "part-named") == "not known");
  f.work.steps.back().text = "brass hook";
  for (const Finding& found : suitability(f, shop(), hour(500)))
    if (found.check == "part-named") {
      CHECK(found.about == "entry 30");
      CHECK(found.reason ==
            "'brass hook' was fitted and no tin is named, so no papers are held for it.");
    }
  CHECK(judged(filled(), "part-named").empty());
}

TEST_CASE("suitability: every finding on a part has a sentence and a source and makes no claim") {
  for (const char* role : {"filler", "dye", "feet", "cord", "inlay", "plug", "hardware", "wipe"})
    for (const char* face : {"fine", "caution", "stop"})
      for (const char* use : {"cutting-board", "serving-board", "salad-bowl", "utensil", "toy"})
        for (const Finding& f : suitability(with_part(kind(role, face), use), shop(), hour(500))) {
          if (!f.check.starts_with("other-")) continue;
          INFO(f.reason);
          CHECK(f.about == "X1");
          CHECK(f.kind == "suitability");
          CHECK_FALSE(f.source.empty());
          CHECK(f.reason.back() == '.');
          CHECK(f.reason.find("..") == std::string::npos);
          for (const char* claim : {"safe", "toxic", "free from", "approved", "certified"})
            CHECK(f.reason.find(claim) == std::string::npos);
        }
}
