#include "domain/label.h"

#include <catch2/catch.hpp>

#include "refusal.h"

using namespace trencher;
using namespace std::chrono_literals;

TEST_CASE("label: every figure is kept with where it comes from") {
  const std::string full =
      R"({"basis":"usual range","clamp_s":{"from":"label","value":1800},)"
      R"("coats":{"from":"usual","value":3},"coverage_cm2_per_l":{"from":"label","value":120000},)"
      R"("food_contact_s":{"from":"usual","value":2592000},"full_cure_s":{"from":"label",)"
      R"("value":86400},)"
      R"("handle_s":{"from":"label","value":28800},"highest_permille":{"from":"label",)"
      R"("value":850},)"
      R"("lowest_mc":{"from":"label","value":10000},"mechanism":"two-part",)"
      R"("open_s":{"from":"label","value":600},"opened_life_s":{"from":"label","value":7776000},)"
      R"("pack_s":{"from":"label","value":172800},)"
      R"("recoat_max_s":{"from":"label","value":86401},"recoat_min_s":{"from":"usual",)"
      R"("value":14400},)"
      R"("reference_mc":{"from":"label","value":23000},"reference_permille":{"from":"label",)"
      R"("value":500},)"
      R"("water_borne":true})";
  const Label label = Label::read(Json::parse(full));
  CHECK(label.json().canonical() == full);
  CHECK(label.recoat_min == Figure{14400, true});
  CHECK(label.recoat_max == Figure{86401, false});
  CHECK(label.handle == Figure{28800, false});
  CHECK(label.pack == Figure{172800, false});
  CHECK(label.food_contact == Figure{2592000, true});
  CHECK(label.clamp == Figure{1800, false});
  CHECK(label.full_cure == Figure{86400, false});
  CHECK(label.open == Figure{600, false});
  CHECK(label.reference_temp == Figure{23000, false});
  CHECK(label.lowest_temp == Figure{10000, false});
  CHECK(label.reference_rh == Figure{500, false});
  CHECK(label.highest_rh == Figure{850, false});
  CHECK(label.opened_life == Figure{7776000, false});
  CHECK(label.mechanism == Mechanism::two_part);
  CHECK(label.water_borne);
  CHECK(label.basis == "usual range");
}

TEST_CASE("label: a silent label stays silent") {
  const std::string least = R"({"mechanism":"none"})";
  const Label label = Label::read(Json::parse(least));
  CHECK(label == Label{});
  CHECK(label.json().canonical() == least);
}

TEST_CASE("label: the usual range of a finish is a guess in every figure") {
  FinishKind kind;
  kind.mechanism = Mechanism::oxidative;
  kind.water_borne = true;
  kind.coats = 4;
  kind.recoat_min = 24h;
  kind.recoat_max = 48h;
  kind.handle = 12h;
  kind.pack = 7 * 24h;
  kind.food_contact = 30 * 24h;
  kind.coverage = Coverage{150'000};
  kind.reference_temp = Celsius{21'000};
  kind.lowest_temp = Celsius{10'000};
  kind.reference_rh = Percent{500};
  kind.highest_rh = Percent{700};
  kind.basis = "a handbook";
  Label expected;
  expected.mechanism = Mechanism::oxidative;
  expected.water_borne = true;
  expected.coats = Figure{4, true};
  expected.recoat_min = Figure{86'400, true};
  expected.recoat_max = Figure{172'800, true};
  expected.handle = Figure{43'200, true};
  expected.pack = Figure{604'800, true};
  expected.food_contact = Figure{2'592'000, true};
  expected.coverage = Figure{150'000, true};
  expected.reference_temp = Figure{21'000, true};
  expected.lowest_temp = Figure{10'000, true};
  expected.reference_rh = Figure{500, true};
  expected.highest_rh = Figure{700, true};
  expected.basis = "a handbook";
  CHECK(usual_label(kind) == expected);
  CHECK(usual_label(FinishKind{}) == Label{});
}

TEST_CASE("label: the usual range of a glue is a guess in every figure") {
  GlueKind kind;
  kind.mechanism = Mechanism::water_glue;
  kind.open = 5min;
  kind.clamp = 30min;
  kind.full_cure = 24h;
  kind.reference_temp = Celsius{20'000};
  kind.lowest_temp = Celsius{8'000};
  kind.reference_rh = Percent{550};
  kind.basis = "a data sheet";
  Label expected;
  expected.mechanism = Mechanism::water_glue;
  expected.open = Figure{300, true};
  expected.clamp = Figure{1800, true};
  expected.full_cure = Figure{86'400, true};
  expected.reference_temp = Figure{20'000, true};
  expected.lowest_temp = Figure{8'000, true};
  expected.reference_rh = Figure{550, true};
  expected.basis = "a data sheet";
  CHECK(usual_label(kind) == expected);
}

TEST_CASE("label: the usual range of another part is a guess in every figure") {
  OtherKind kind;
  kind.mechanism = Mechanism::two_part;
  kind.full_cure = 30 * 24h;
  kind.reference_temp = Celsius{22'000};
  kind.lowest_temp = Celsius{16'000};
  kind.reference_rh = Percent{500};
  kind.basis = "a habit";
  Label expected;
  expected.mechanism = Mechanism::two_part;
  expected.full_cure = Figure{2'592'000, true};
  expected.reference_temp = Figure{22'000, true};
  expected.lowest_temp = Figure{16'000, true};
  expected.reference_rh = Figure{500, true};
  expected.basis = "a habit";
  CHECK(usual_label(kind) == expected);
  CHECK(usual_label(OtherKind{}) == Label{});
}

TEST_CASE("label: what is said for certain lies over what lies under it") {
  Label base;
  base.mechanism = Mechanism::oxidative;
  base.water_borne = true;
  base.basis = "the product's";
  base.recoat_min = Figure{100, false};
  base.handle = Figure{200, true};
  base.pack = Figure{300, false};
  base.coats = Figure{3, true};
  Label own;
  own.mechanism = Mechanism::none;
  own.basis = "the tin's";
  own.recoat_min = Figure{150, false};  // certain over certain
  own.handle = Figure{250, false};      // certain over usual
  own.pack = Figure{350, true};         // usual never over certain
  own.coats = Figure{5, true};          // nor over usual
  own.opened_life = Figure{400, false};
  own.food_contact = Figure{500, true};
  const Label both = overlay(own, base);
  CHECK(both.recoat_min == Figure{150, false});
  CHECK(both.handle == Figure{250, false});
  CHECK(both.pack == Figure{300, false});
  CHECK(both.coats == Figure{3, true});
  CHECK(both.opened_life == Figure{400, false});
  CHECK(both.food_contact == Figure{500, true});
  CHECK(both.mechanism == Mechanism::oxidative);
  CHECK(both.water_borne);
  CHECK(both.basis == "the product's");
  CHECK(overlay(Label{}, base) == base);
}

TEST_CASE("label: each figure is laid over by itself") {
  std::vector<std::optional<Figure> Label::*> figures{
      &Label::coats,        &Label::recoat_min,   &Label::recoat_max,  &Label::handle,
      &Label::pack,         &Label::food_contact, &Label::clamp,       &Label::full_cure,
      &Label::open,         &Label::coverage,     &Label::lowest_temp, &Label::reference_temp,
      &Label::reference_rh, &Label::highest_rh,   &Label::opened_life, &Label::pot_life};
  for (const auto figure : figures) {
    Label own;
    own.*figure = Figure{7, false};
    CHECK(overlay(own, Label{}) == own);
    CHECK(overlay(Label{}, own) == own);
  }
}

TEST_CASE("label: a guessed longest wait below the shortest goes and a stated one stays") {
  const auto window = [](Figure shortest, Figure longest) {
    Label label;
    label.recoat_min = shortest;
    label.recoat_max = longest;
    drop_senseless_window(label);
    CHECK(label.recoat_min == shortest);
    return label.recoat_max;
  };
  CHECK_FALSE(window({101, false}, {100, true}).has_value());
  CHECK(window({100, false}, {100, true}) == Figure{100, true});
  CHECK(window({99, false}, {100, true}) == Figure{100, true});
  CHECK(window({101, false}, {100, false}) == Figure{100, false});  // the label's own say
  Label only;
  only.recoat_max = Figure{1, true};
  drop_senseless_window(only);
  CHECK(only.recoat_max == Figure{1, true});

  Label own, base;
  own.recoat_min = Figure{200, false};
  base.recoat_min = Figure{50, true};
  base.recoat_max = Figure{100, true};
  CHECK_FALSE(overlay(own, base).recoat_max.has_value());
  CHECK(overlay(own, base).recoat_min == Figure{200, false});
}

TEST_CASE("label: every mechanism has a name that reads back") {
  for (int i = 0; i <= static_cast<int>(Mechanism::none); ++i) {
    const auto mechanism = static_cast<Mechanism>(i);
    CHECK(parse_mechanism(to_string(mechanism)) == mechanism);
  }
  CHECK(to_string(Mechanism::solvent_evaporation) == "solvent-evaporation");
  CHECK(refusal([] { parse_mechanism("magic"); }) ==
        "request: The mechanism 'magic' is not one of: non-drying, wax-set, oxidative, "
        "solvent-evaporation, coalescing, two-part, water-glue, moisture-glue, none.");
}
