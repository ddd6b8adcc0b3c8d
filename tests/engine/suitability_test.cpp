#include "engine/suitability.h"

#include <random>

#include "findings_fixture.h"

using namespace findings_fixture;

namespace {

SuitabilityFacts with_species(Species species, const std::string& use = "cutting-board") {
  SuitabilityFacts f = good_facts();
  f.wood[0].species = species.id;
  f.work.batch.use = use;
  f.species = {{species.id, std::move(species)}};
  return f;
}

Species hardwood(const std::string& pore, std::optional<int> hardness) {
  Species s = maple();
  s.id = "some-wood";
  s.common_name = "Some wood";
  s.pore = pore;
  s.side_hardness_n = hardness;
  s.food_code_named = false;
  return s;
}

FinishKind film() {
  FinishKind k;
  k.id = "film";
  k.mechanism = Mechanism::coalescing;
  k.on_cutting_surface = "stop";
  return k;
}

SuitabilityFacts with_finish(FinishKind kind, const std::string& use = "cutting-board") {
  SuitabilityFacts f = good_facts();
  Tin& tin = f.work.tins["F1"];
  tin.kind = kind.id;
  tin.label.mechanism = kind.mechanism;
  f.work.batch.use = use;
  f.finish_kinds = {{kind.id, std::move(kind)}};
  return f;
}

}  // namespace

TEST_CASE("suitability: a batch that is in order has neither stop nor caution") {
  for (const Finding& f : suitability(good_facts(), shop(), hour(500))) {
    INFO(f.check << ": " << f.reason);
    CHECK(f.result == Result::fine);
  }
}

TEST_CASE("suitability: a wood outside the tables is not known and nothing else is said of it") {
  SuitabilityFacts f = good_facts();
  f.species.clear();
  CHECK(judged(f, "species-known") == "not known");
  for (const char* check : {"species-pore", "species-hardness", "species-toxicity", "softwood"})
    CHECK(judged(f, check).empty());
}

TEST_CASE("suitability: pores count by what the board is for") {
  CHECK(judged(with_species(hardwood("ring", 6400)), "species-pore") == "caution");
  CHECK(judged(with_species(hardwood("ring", 6400), "salad-bowl"), "species-pore") == "caution");
  CHECK(judged(with_species(hardwood("ring", 6400), "serving-board"), "species-pore") == "fine");
  CHECK(judged(with_species(hardwood("semi-ring", 6400)), "species-pore") == "fine");
  CHECK(judged(with_species(hardwood("diffuse", 6400)), "species-pore") == "fine");
  CHECK(judged(with_species(hardwood("", 6400)), "species-pore") == "not known");
  Species grass = hardwood("", 6140);
  grass.group = "grass";
  CHECK(judged(with_species(grass), "species-pore") == "caution");
}

TEST_CASE("suitability: hardness has two lines of ours, at 90 and 50 per cent of hard maple") {
  CHECK(judged(with_species(hardwood("diffuse", 5760)), "species-hardness") == "fine");
  CHECK(judged(with_species(hardwood("diffuse", 5759)), "species-hardness") == "caution");
  CHECK(judged(with_species(hardwood("diffuse", 3200)), "species-hardness") == "caution");
  CHECK(judged(with_species(hardwood("diffuse", 3199)), "species-hardness") == "stop");
  CHECK(judged(with_species(hardwood("diffuse", 3199), "utensil"), "species-hardness") ==
        "caution");
  CHECK(judged(with_species(hardwood("diffuse", {})), "species-hardness") == "not known");
  CHECK(
      judged(with_species(hardwood("diffuse", 1000), "serving-board"), "species-hardness").empty());
}

TEST_CASE("suitability: hardness is shown in the shop's units") {
  SuitabilityFacts f = with_species(hardwood("diffuse", 6450));
  f.units = Units::us;  // 6450 N is 1450 lbf
  CHECK(reason(suitability(f, shop(), hour(500)), "species-hardness").find("1450 lbf") !=
        std::string::npos);
  f.units = Units::metric;
  CHECK(reason(suitability(f, shop(), hour(500)), "species-hardness").find("6450 N") !=
        std::string::npos);
}

TEST_CASE("suitability: hardness alone passes no wood") {
  Species yew = hardwood("nonporous", 6760);
  yew.group = "softwood";
  yew.toxic = true;
  yew.health_note = "Poisonous: nearly all of the tree holds taxine.";
  const SuitabilityFacts f = with_species(yew);
  CHECK(judged(f, "species-hardness") == "fine");
  CHECK(judged(f, "species-toxicity") == "stop");
  CHECK(judged(f, "softwood") == "stop");
}

TEST_CASE("suitability: a poisonous wood is a stop for every use") {
  Species wood = hardwood("diffuse", 6400);
  wood.toxic = true;
  for (const char* use : {"cutting-board", "serving-board", "salad-bowl", "utensil", "toy"})
    CHECK(judged(with_species(wood, use), "species-toxicity") == "stop");
}

TEST_CASE("suitability: a sensitiser is a caution that carries the note") {
  Species wood = hardwood("diffuse", 6400);
  wood.sensitiser = true;
  wood.health_note = "A strong contact allergen; listed as a strong sensitiser.";
  const auto findings = suitability(with_species(wood), shop(), hour(500));
  CHECK(results(findings, "species-sensitiser") == "caution");
  CHECK(reason(findings, "species-sensitiser") ==
        "Some wood asks for care with dust and skin: a strong contact allergen; listed as a strong "
        "sensitiser.");
}

TEST_CASE("suitability: a note on spalted wood is told apart from one on the clean wood") {
  Species wood = maple();
  wood.health_note = "Dust of spalted maple is listed as a sensitiser of the airways.";
  CHECK(judged(with_species(wood), "spalted") == "fine");
  CHECK(judged(with_species(wood), "species-sensitiser").empty());
}

TEST_CASE("suitability: softwood stops a cutting board and cautions others") {
  Species pine = hardwood("nonporous", 1690);
  pine.group = "softwood";
  CHECK(judged(with_species(pine), "softwood") == "stop");
  CHECK(judged(with_species(pine, "serving-board"), "softwood") == "caution");
  CHECK(judged(with_species(pine, "toy"), "softwood") == "fine");
  pine.fr1945 = "all";
  CHECK(judged(with_species(pine, "serving-board"), "softwood") == "caution");
}

TEST_CASE("suitability: reclaimed and treated wood stop and silence is not known") {
  SuitabilityFacts f = good_facts();
  CHECK(judged(f, "reclaimed").empty());
  f.wood[0].reclaimed = true;
  CHECK(judged(f, "reclaimed") == "stop");
  f.wood[0].treated = true;
  CHECK(judged(f, "treated") == "stop");
  f.wood[0].treated.reset();
  CHECK(judged(f, "treated") == "not known");
}

TEST_CASE("suitability: moisture is held against 6 to 9 per cent") {
  const std::pair<int, const char*> cases[] = {
      {59, "caution"}, {60, "fine"}, {90, "fine"}, {91, "caution"}};
  for (const auto& [permille, expected] : cases) {
    SuitabilityFacts f = good_facts();
    f.wood[0].moisture = Percent{permille};
    CHECK(judged(f, "wood-moisture") == expected);
  }
  SuitabilityFacts f = good_facts();
  f.wood[0].moisture.reset();
  CHECK(judged(f, "wood-moisture") == "not known");
  CHECK(judged(f, "wood-moisture-air").empty());
}

TEST_CASE("suitability: lots in one board lie within 2 points of moisture") {
  SuitabilityFacts f = good_facts();
  CHECK(judged(f, "wood-moisture-spread").empty());
  f.wood.push_back(f.wood[0]);
  f.wood[1].id = "W2";
  f.wood[0].moisture = Percent{65};
  f.wood[1].moisture = Percent{85};
  CHECK(judged(f, "wood-moisture-spread") == "fine");
  f.wood[1].moisture = Percent{86};
  CHECK(judged(f, "wood-moisture-spread") == "caution");
}

// Wood Handbook FPL-GTR-190 Table 4-2: at 70 °F (21.1 °C) wood is in balance at 8.5 % in air of 45
// % humidity, at 11.0 % at 60 % and at 14.4 % at 75 %.
TEST_CASE("suitability: moisture is held against the air at the glue-up") {
  CHECK(judged(good_facts(), "wood-moisture-air", shop(21.1, 45)) == "fine");
  CHECK(judged(good_facts(), "wood-moisture-air", shop(21.1, 60)) == "caution");
  CHECK(judged(good_facts(), "wood-moisture-air", no_readings()) == "not known");
  CHECK(judged(good_facts(), "wood-moisture-air", declared(21.1, 45)) == "not known");
  CHECK(judged(good_facts(), "wood-moisture-air", declared(21.1, 75)) == "caution");
  SuitabilityFacts logged = good_facts();
  logged.work.steps[0].temp = Celsius{21100};
  logged.work.steps[0].rh = Percent{450};
  CHECK(judged(logged, "wood-moisture-air", no_readings()) == "fine");
}

TEST_CASE("suitability: a film stops a cutting board and cautions a serving board") {
  CHECK(judged(with_finish(film()), "finish-on-use") == "stop");
  CHECK(judged(with_finish(film(), "serving-board"), "finish-on-use") == "caution");
  CHECK(judged(with_finish(film(), "toy"), "finish-on-use") == "fine");
  SuitabilityFacts f = good_facts();
  f.work.batch.use = "cutting-board";
  CHECK(judged(f, "finish-on-use") == "caution");
  f.finish_kinds["hardwax-oil"].on_cutting_surface = "fine";
  CHECK(judged(f, "finish-on-use") == "fine");
  f.finish_kinds.clear();
  CHECK(judged(f, "finish-on-use") == "not known");
}

TEST_CASE(
    "suitability: metal driers stop until the maker's statement and stay a caution after it") {
  FinishKind boiled;
  boiled.id = "boiled-linseed-oil-with-driers";
  boiled.mechanism = Mechanism::oxidative;
  boiled.on_cutting_surface = "stop";
  boiled.contains = {"linseed", "cobalt-driers", "per-label"};
  SuitabilityFacts f = with_finish(boiled, "serving-board");
  CHECK(judged(f, "finish-statement") == "caution");
  f.statements = {food_statement(6, "G1")};
  CHECK(judged(f, "finish-statement") == "stop");
  CHECK(judged(f, "finish-on-use") == "fine");
}

TEST_CASE("suitability: without a food-contact statement a finish and a glue are not known") {
  SuitabilityFacts f = good_facts();
  f.statements.clear();
  CHECK(judged(f, "finish-statement") == "not known");
  CHECK(judged(f, "glue-statement") == "not known");
  Statement other = food_statement(8, "F1");
  other.about = "ingredients";
  f.statements = {other};
  CHECK(judged(f, "finish-statement") == "not known");
  f.work.tins["F1"].product = "P1";
  f.statements = {food_statement(8, "P1")};
  CHECK(judged(f, "finish-statement") == "fine");
}

TEST_CASE("suitability: waits from the usual range are named as guessed") {
  SuitabilityFacts f = good_facts();
  f.work.tins["F1"].label.pack->usual = true;
  CHECK(judged(f, "finish-label") == "caution");
  CHECK(reason(suitability(f, shop(), hour(500)), "finish-label").find("the wait to pack") !=
        std::string::npos);
  f.work.tins["F1"].label.food_contact.reset();
  CHECK(judged(f, "finish-label") == "caution not known");
}

TEST_CASE("suitability: glue is judged by what washing does to it") {
  SuitabilityFacts f = good_facts();
  f.glue_kinds["pva-d3"].wet_use = "caution";
  CHECK(judged(f, "glue-wet-use") == "caution");
  f.glue_kinds["pva-d3"].wet_use = "stop";
  CHECK(judged(f, "glue-wet-use") == "stop");
  f.work.batch.use = "toy";
  CHECK(judged(f, "glue-wet-use") == "caution");
  f.glue_kinds["pva-d3"].wet_use = "";
  CHECK(judged(f, "glue-wet-use") == "not known");
}

TEST_CASE("suitability: what hardens does not go over what never does") {
  SuitabilityFacts f = good_facts();
  Tin wax = f.work.tins["F1"];
  wax.id = "F2";
  wax.label.mechanism = Mechanism::wax_set;
  f.work.tins["F2"] = wax;
  f.work.batch.finish = {"F1", "F2"};
  CHECK(judged(f, "finish-over-finish").empty());
  f.work.batch.finish = {"F2", "F1"};
  f.work.steps = {step(11, "coat", 30, {"F2"}), step(12, "coat", 60, {"F1"})};
  CHECK(judged(f, "finish-over-finish") == "caution");
  f.work.tins["F1"].label.mechanism = Mechanism::non_drying;
  CHECK(judged(f, "finish-over-finish").empty());
}

TEST_CASE("suitability: a finish outside the schedule's kinds is a caution") {
  SuitabilityFacts f = good_facts();
  f.work.batch.schedule.slots = {{Mechanism::wax_set}};
  CHECK(judged(f, "finish-in-schedule") == "caution");
  f = good_facts();
  f.work.batch.finish.clear();
  CHECK(judged(f, "finish-in-schedule") == "caution");
}

TEST_CASE("suitability: an oily wood cautions glue and finish that must harden") {
  Species teak = hardwood("ring", 4450);
  teak.oily = true;
  CHECK(judged(with_species(teak), "glue-on-oily-wood") == "caution");
  CHECK(judged(with_species(teak), "finish-on-oily-wood") == "caution");
  SuitabilityFacts f = with_species(teak);
  f.work.tins["F1"].label.mechanism = Mechanism::non_drying;
  CHECK(judged(f, "finish-on-oily-wood").empty());
}

TEST_CASE("suitability: solvent is a caution and water is not") {
  FinishKind kind = film();
  kind.solvent = "mineral spirits";
  CHECK(judged(with_finish(kind), "finish-solvent") == "caution");
  kind.solvent = "water";
  CHECK(judged(with_finish(kind), "finish-solvent").empty());
}

// Seeded: whatever the facts, each finding is a whole sentence with a source and promises nothing.
TEST_CASE("suitability: every finding is a sentence with a source and makes no claim") {
  std::mt19937 random(20270301);
  const auto one_of = [&](auto... values) {
    const std::vector<std::common_type_t<decltype(values)...>> list{values...};
    return list[random() % list.size()];
  };
  for (int round = 0; round < 300; ++round) {
    Species wood =
        hardwood(one_of("", "ring", "semi-ring", "diffuse", "nonporous"), 1000 + random() % 9000);
    if (random() % 4 == 0) wood.side_hardness_n.reset();
    wood.group = one_of("hardwood", "softwood", "grass");
    wood.toxic = random() % 4 == 0;
    wood.sensitiser = random() % 2;
    wood.oily = random() % 2;
    wood.health_note =
        one_of("", "Dust of spalted wood is listed.", "Dust is listed as an irritant.");
    SuitabilityFacts f =
        with_species(wood, one_of("cutting-board", "serving-board", "salad-bowl", "toy"));
    f.units = random() % 2 ? Units::us : Units::metric;
    f.finish_kinds["hardwax-oil"].on_cutting_surface = one_of("fine", "caution", "stop");
    f.finish_kinds["hardwax-oil"].contains = {one_of("linseed", "cobalt-driers")};
    f.glue_kinds["pva-d3"].wet_use = one_of("", "fine", "caution", "stop");
    if (random() % 2) f.statements.clear();
    if (random() % 4 == 0) f.species.clear();
    if (random() % 4 == 0) f.work.steps.resize(random() % 4);
    if (random() % 2) f.open_rags = {11};
    f.left = {
        {"F1", {Amount::Measure::volume, static_cast<std::int64_t>(random() % 3) * 1000 - 1000}}};
    f.work.tins["F1"].label.mechanism = one_of(Mechanism::oxidative, Mechanism::coalescing);
    const Conditions air = one_of(0, 1, 2) == 0 ? no_readings()
                                                : shop(5.0 + static_cast<double>(random() % 20),
                                                       30.0 + static_cast<double>(random() % 60));
    const auto findings = suitability(f, air, hour(500));
    bool stop = false;
    for (const Finding& finding : findings) {
      INFO(finding.check << ": " << finding.reason << " (" << finding.source << ")");
      stop = stop || finding.result == Result::stop;
      REQUIRE(finding.kind == "suitability");
      REQUIRE(!finding.about.empty());
      REQUIRE(!finding.source.empty());
      REQUIRE(finding.reason.size() > 10);
      REQUIRE(finding.reason.back() == '.');
      REQUIRE(finding.reason.find("..") == std::string::npos);
      for (const char* claim :
           {"safe", "toxic", "free from", "approved", "certified", "compliant", "bacterial"})
        REQUIRE(finding.reason.find(claim) == std::string::npos);
    }
    REQUIRE(has_stop(findings) == stop);
  }
}
