// The shipped tables as they are compiled in: complete, sourced, in range, and worded within the
// rules. What outside sources say of the same figures is checked in tests/published.
#include "reference/tables.h"

#include <algorithm>
#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "domain/embedded.h"
#include "domain/error.h"
#include "domain/label.h"
#include "exchange/csv.h"
#include "reference/reference.h"

namespace {

using namespace trencher;
using exchange::CsvTable;

CsvTable table(const std::string& name) {
  return CsvTable::parse(embedded_text(embedded_reference(), "schema/reference/" + name + ".csv"),
                         name + ".csv");
}

std::string cell(const CsvTable& rows, std::size_t row, std::string_view column) {
  return rows.row(row)[rows.column(column)];
}

}  // namespace

TEST_CASE("reference: the tables are as large as promised") {
  CHECK(reference::species().size() >= 55);
  CHECK(reference::finishes().size() >= 18);
  CHECK(reference::glues().size() >= 10);
  CHECK(reference::others().size() >= 20);
  CHECK(reference::schedules().size() >= 6);
  CHECK(reference::allergens().size() >= 14);
}

TEST_CASE("reference: what is found by id is that row and nothing else") {
  const auto found = [](const auto& all, auto find, auto name) {
    for (const auto& one : all) {
      CAPTURE(one.id);
      const auto* alone = find(one.id);
      REQUIRE(alone);
      CHECK(alone->id == one.id);
      CHECK(alone->*name == one.*name);
      CHECK(alone->notes == one.notes);
    }
  };
  found(reference::species(), reference::find_species, &Species::common_name);
  found(reference::finishes(), reference::find_finish, &FinishKind::name);
  found(reference::glues(), reference::find_glue, &GlueKind::name);
  found(reference::others(), reference::find_other, &OtherKind::name);
  for (const auto& source : reference::sources())
    CHECK(reference::find_source(source.key)->what == source.what);
  CHECK(reference::find_source("") == nullptr);
  for (const auto& thing : reference::allergens())
    CHECK(reference::find_allergen(thing.id) == &thing);
  for (const auto& way : reference::schedules()) CHECK(reference::find_schedule(way.id) == &way);
  CHECK(reference::find_species("hard maple") == nullptr);
  CHECK(reference::find_schedule("") == nullptr);
}

TEST_CASE("reference: every source key in a cell is a row of the sources table") {
  std::set<std::string> keys;
  for (const auto& source : reference::sources()) keys.insert(source.key);
  const std::map<std::string, std::vector<std::string>> columns{
      {"species",
       {"pore_source", "hardness_source", "shrink_source", "health_source", "cites_source"}},
      {"finishes", {"source"}},
      {"glues", {"source"}},
      {"others", {"source"}},
      {"allergens", {"source"}}};
  for (const auto& [name, named] : columns) {
    const CsvTable rows = table(name);
    for (std::size_t i = 0; i < rows.size(); ++i)
      for (const std::string& column : named) {
        const std::string text = cell(rows, i, column);
        for (std::size_t at = 0; at < text.size();) {
          const std::size_t end = std::min(text.find(';', at), text.size());
          INFO(name << " " << rows.row(i)[0] << " " << column);
          CHECK(keys.count(text.substr(at, end - at)) == 1);
          at = end + 1;
        }
      }
  }
}

TEST_CASE("reference: every figure and note on a wood has its source and standing") {
  const CsvTable rows = table("species");
  const std::vector<std::pair<std::string, std::string>> figures{
      {"pore", "pore"},
      {"side_hardness_N", "hardness"},
      {"radial_shrink_pct", "shrink"},
      {"tangential_shrink_pct", "shrink"},
      {"health_note", "health"}};
  for (std::size_t i = 0; i < rows.size(); ++i) {
    INFO(rows.row(i)[0]);
    bool sourced = false;
    for (const auto& [figure, prefix] : figures) {
      const bool present = !cell(rows, i, figure).empty();
      INFO(figure);
      CHECK(present == !cell(rows, i, prefix + "_source").empty());
      const std::string standing = cell(rows, i, prefix + "_standing");
      CHECK((present ? standing == "read" || standing == "memory" : standing.empty()));
      sourced = sourced || present;
    }
    CHECK(sourced);
    const bool listed = !cell(rows, i, "cites_appendix").empty();
    CHECK(listed == !cell(rows, i, "cites_note").empty());
    CHECK(listed == !cell(rows, i, "cites_source").empty());
    if (!cell(rows, i, "fr1945").empty()) CHECK(!cell(rows, i, "fr1945_note").empty());
  }
}

TEST_CASE("reference: every kind and allergen has its source and standing") {
  for (const std::string name : {"finishes", "glues", "others", "allergens"}) {
    const CsvTable rows = table(name);
    for (std::size_t i = 0; i < rows.size(); ++i) {
      INFO(name << " " << rows.row(i)[0]);
      CHECK(!cell(rows, i, "source").empty());
      CHECK(!cell(rows, i, "standing").empty());
      if (name == "finishes") {
        const std::string standing = cell(rows, i, "us_status_standing");
        CHECK((standing == "read" || standing == "memory" || standing == "not found"));
      }
    }
  }
  for (const auto& kind : reference::finishes())
    CHECK(kind.basis.find("common practice, no source") != std::string::npos);
  for (const auto& kind : reference::glues())
    CHECK(kind.basis.find("common practice, no source") != std::string::npos);
  for (const auto& kind : reference::others())
    CHECK(kind.basis.find("common practice, no source") != std::string::npos);
}

TEST_CASE("reference: what a kind contains is in the table of allergens") {
  const auto known = [](const std::vector<std::string>& contains) {
    for (const std::string& id : contains)
      CHECK((id == "per-label" || reference::find_allergen(id) != nullptr));
  };
  for (const auto& kind : reference::finishes()) known(kind.contains);
  for (const auto& kind : reference::glues()) known(kind.contains);
  for (const auto& kind : reference::others()) known(kind.contains);
  for (const auto& thing : reference::allergens())
    CHECK((thing.parent.empty() || reference::find_allergen(thing.parent) != nullptr));
}

TEST_CASE("reference: a kind with an animal material by nature says so") {
  const auto agrees = [](const auto& kind) {
    INFO(kind.id);
    for (const std::string& id : kind.contains)
      if (const Allergen* thing = reference::find_allergen(id); thing && thing->animal)
        CHECK(kind.animal_origin == "yes");
  };
  for (const auto& kind : reference::finishes()) agrees(kind);
  for (const auto& kind : reference::glues()) agrees(kind);
  for (const auto& kind : reference::others()) agrees(kind);
  for (const std::string id :
       {"milk", "egg", "fish", "crustacea", "molluscs", "bee-product", "lanolin", "animal-derived"})
    CHECK(reference::find_allergen(id)->animal);
  for (const std::string id : {"walnut-oil", "pva-d3"})
    CHECK(((reference::find_finish(id) && reference::find_finish(id)->animal_origin == "no") ||
           (reference::find_glue(id) && reference::find_glue(id)->animal_origin == "no")));
}

TEST_CASE("reference: woods move more across than towards the heart and lie in sane ranges") {
  for (const auto& wood : reference::species()) {
    INFO(wood.id);
    CHECK(wood.radial_shrink_pct.has_value() == wood.tangential_shrink_pct.has_value());
    if (wood.radial_shrink_pct) {
      CHECK(*wood.radial_shrink_pct < *wood.tangential_shrink_pct);
      CHECK(*wood.tangential_shrink_pct < 15);
    }
    if (wood.side_hardness_n)
      CHECK((*wood.side_hardness_n >= 1000 && *wood.side_hardness_n <= 20000));
    CHECK((wood.group == "softwood") == (wood.pore == "nonporous"));
    CHECK((wood.group == "grass") == (wood.id == "bamboo"));
  }
}

TEST_CASE("reference: the poisonous woods are marked and no usual board wood is") {
  std::set<std::string> toxic;
  for (const auto& wood : reference::species())
    if (wood.toxic) toxic.insert(wood.id);
  CHECK(toxic == std::set<std::string>{"yew", "oleander", "laburnum"});
}

TEST_CASE("reference: waits of a finish never run backwards") {
  for (const auto& kind : reference::finishes()) {
    INFO(kind.id);
    REQUIRE(kind.recoat_min);
    if (kind.recoat_max) CHECK(*kind.recoat_min <= *kind.recoat_max);
    REQUIRE(kind.pack);
    CHECK(*kind.handle <= *kind.pack);
    if (kind.food_contact) CHECK(*kind.pack <= *kind.food_contact);
    CHECK(kind.coats);
    CHECK(kind.reference_temp);
    if (kind.lowest_temp) CHECK(*kind.lowest_temp < *kind.reference_temp);
    if (kind.highest_rh) CHECK(*kind.reference_rh < *kind.highest_rh);
    // A kind that cures needs what the cure is reckoned from.
    if (kind.mechanism != Mechanism::non_drying && kind.mechanism != Mechanism::wax_set) {
      CHECK(kind.lowest_temp);
      CHECK(kind.highest_rh);
    }
  }
  for (const auto& kind : reference::glues()) {
    INFO(kind.id);
    CHECK(*kind.open < *kind.full_cure);
    CHECK(*kind.clamp < *kind.full_cure);
    CHECK(*kind.lowest_temp <= *kind.reference_temp);
    const bool humidity_counts =
        kind.mechanism == Mechanism::water_glue || kind.mechanism == Mechanism::moisture_glue;
    CHECK(kind.reference_rh.has_value() == humidity_counts);
  }
}

TEST_CASE("reference: units of the tables are kept") {
  using namespace std::chrono_literals;
  const FinishKind* tung = reference::find_finish("pure-tung-oil");
  REQUIRE(tung);
  CHECK(tung->mechanism == Mechanism::oxidative);
  CHECK(tung->coats == 4);
  CHECK(tung->recoat_min == Seconds(48h));
  CHECK_FALSE(tung->recoat_max);
  CHECK(tung->food_contact == Seconds(30 * 24h));
  CHECK(tung->coverage->cm2_per_l == 120000);
  CHECK(tung->reference_temp->milli == 20000);
  CHECK(tung->highest_rh->permille == 750);
  CHECK(tung->ingredients.size() == 2);
  const GlueKind* instant = reference::find_glue("cyanoacrylate");
  REQUIRE(instant);
  CHECK(instant->open == 6s);
  CHECK(instant->clamp == 6min);
  CHECK(reference::find_species("hard-maple")->hardness_source.find("Wood Handbook") == 0);
}

// NFPA tip sheet on oily rags, as reprinted: drying oils and oil-based finishes heat themselves,
// water-based finishes do not (read). Lacquer and wax paste are counted as self-heating by us.
TEST_CASE("reference: rags of every oxidative finish count as self-heating") {
  for (const auto& kind : reference::finishes()) {
    INFO(kind.id);
    if (kind.mechanism == Mechanism::oxidative) CHECK(kind.self_heating_rags);
    if (kind.water_borne || kind.mechanism == Mechanism::non_drying)
      CHECK_FALSE(kind.self_heating_rags);
  }
  CHECK(reference::find_finish("nitrocellulose-lacquer")->self_heating_rags);
  CHECK(reference::find_finish("beeswax-carnauba-paste")->self_heating_rags);
}

TEST_CASE("reference: water-borne kinds are the ones whose solvent is water") {
  std::set<std::string> water;
  for (const auto& kind : reference::finishes())
    if (kind.water_borne) water.insert(kind.id);
  CHECK(water == std::set<std::string>{"water-polyurethane", "soap", "milk-paint"});
}

// Forest Products Laboratory, finishes for bowls and butcher blocks (read): several weeks of drying
// for natural oils that do not harden. 21 days is ours; a shorter figure would go against the
// sheet.
TEST_CASE("reference: a natural oil that does not harden waits weeks before food") {
  using namespace std::chrono_literals;
  CHECK(*reference::find_finish("fractionated-coconut-oil")->food_contact >= Seconds(21 * 24h));
}

namespace {

const OtherKind& other(const std::string& id) {
  const OtherKind* found = reference::find_other(id);
  INFO(id);
  REQUIRE(found);
  return *found;
}

bool holds(const OtherKind& kind, const std::string& id) {
  return std::find(kind.contains.begin(), kind.contains.end(), id) != kind.contains.end();
}

}  // namespace

// Nobody knows a part or a filler from its kind alone: each leaves the rest to its label.
TEST_CASE("reference: every other leaves what else it holds to its label") {
  for (const auto& kind : reference::others()) {
    INFO(kind.id);
    CHECK(holds(kind, "per-label"));
    CHECK(!kind.notes.empty());
  }
}

TEST_CASE("reference: an other from animals or with epoxy or alcohol in it names that") {
  std::set<std::string> animal;
  for (const auto& kind : reference::others())
    if (kind.animal_origin == "yes") animal.insert(kind.id);
  CHECK(animal == std::set<std::string>{"shellac-stick", "leather-cord", "shell-inlay",
                                        "bone-inlay", "horn-inlay"});
  CHECK(holds(other("shell-inlay"), "molluscs"));
  for (const std::string id : {"shellac-stick", "leather-cord", "bone-inlay", "horn-inlay"})
    CHECK(holds(other(id), "animal-derived"));
  CHECK(holds(other("epoxy-filling"), "epoxy"));
  CHECK(holds(other("denatured-alcohol"), "alcohol"));
  // They may be of beeswax, or of natural rubber: only the label says.
  for (const std::string id : {"wax-stick", "rubber-feet"}) {
    CHECK(other(id).animal_origin == "per-label");
    CHECK(other(id).contains == std::vector<std::string>{"per-label"});
  }
}

TEST_CASE("reference: an other has a full cure exactly where it cures or dries") {
  for (const auto& kind : reference::others()) {
    INFO(kind.id);
    const bool cures = kind.mechanism != Mechanism::none;
    CHECK(kind.full_cure.has_value() == cures);
    CHECK(kind.reference_temp.has_value() == cures);
    if (kind.lowest_temp) CHECK((cures && *kind.lowest_temp < *kind.reference_temp));
    // What reacts or fuses has a cold in which it does not.
    if (kind.mechanism == Mechanism::two_part || kind.mechanism == Mechanism::coalescing)
      CHECK(kind.lowest_temp);
    const bool humidity_counts =
        kind.mechanism == Mechanism::solvent_evaporation || kind.mechanism == Mechanism::coalescing;
    CHECK(kind.reference_rh.has_value() == humidity_counts);
  }
}

TEST_CASE("reference: only a wipe that dries leaves nothing") {
  for (const auto& kind : reference::others()) {
    INFO(kind.id);
    CHECK(kind.stays == !(kind.role == "wipe" && kind.mechanism != Mechanism::none));
    if (!kind.stays) CHECK(kind.animal_origin != "yes");
  }
}

// A filling lies in the face: it may not wait less than the same stuff laid on as a coat or a glue.
TEST_CASE("reference: an epoxy filling waits at least as long as epoxy finish and glue") {
  CHECK(other("epoxy-filling").full_cure >= reference::find_finish("epoxy-coat")->food_contact);
  CHECK(other("epoxy-filling").full_cure >= reference::find_glue("epoxy")->full_cure);
  CHECK(other("epoxy-filling").lowest_temp >= reference::find_glue("epoxy")->lowest_temp);
}

TEST_CASE("reference: what goes into a board butter can be received by itself") {
  for (const std::string id : {"beeswax", "carnauba-wax"}) {
    const FinishKind* wax = reference::find_finish(id);
    REQUIRE(wax);
    CHECK(wax->mechanism == Mechanism::wax_set);
    CHECK_FALSE(wax->self_heating_rags);
    CHECK(wax->solvent == "none");
  }
  CHECK(reference::find_finish("beeswax")->contains == std::vector<std::string>{"bee-product"});
  CHECK(reference::find_finish("beeswax")->animal_origin == "yes");
  CHECK(reference::find_finish("carnauba-wax")->animal_origin == "no");
}

TEST_CASE("reference: the usual figures of an other are guesses and keep their units") {
  using namespace std::chrono_literals;
  const OtherKind& filler = other("water-filler");
  CHECK(filler.full_cure == Seconds(72h));
  CHECK(filler.lowest_temp->milli == 10'000);
  CHECK(filler.reference_rh->permille == 500);
  Label expected;
  expected.mechanism = Mechanism::coalescing;
  expected.full_cure = Figure{72 * 3600, true};
  expected.lowest_temp = Figure{10'000, true};
  expected.reference_temp = Figure{20'000, true};
  expected.reference_rh = Figure{500, true};
  expected.basis = filler.basis;
  CHECK(usual_label(filler) == expected);
  // A solid has nothing to wait for.
  expected = {};
  expected.basis = other("rubber-feet").basis;
  CHECK(usual_label(other("rubber-feet")) == expected);
}

TEST_CASE("reference: a fault in the table of others is named") {
  const std::string text(embedded_text(embedded_reference(), "schema/reference/others.csv"));
  const auto fails = [&](const std::string& from, const std::string& to,
                         const std::string& sentence) {
    std::string changed = text;
    const std::size_t at = changed.find(from);
    REQUIRE(at != std::string::npos);
    changed.replace(at, from.size(), to);
    CHECK_THROWS_MATCHES(reference::read_others(changed, "t"), Error, Catch::Message(sentence));
  };
  fails(",filler,", ",wedge,",
        "t, line 2, role: 'wedge' is not filler, dye, feet, cord, inlay, plug, hardware or wipe.");
  fails(",yes,caution,", ",perhaps,caution,", "t, line 2, stays: 'perhaps' is not yes or no.");
  fails(",yes,caution,", ",yes,never,",
        "t, line 2, on_food_face: 'never' is not fine, caution or stop.");
  fails(",720,", ",72o,", "t, line 2, full_cure_h: '72o' is not a number from 0 to 1000.");
}

TEST_CASE("reference: a row read alone is the one in its table") {
  for (const char* name : {"species", "finishes", "glues", "others", "allergens", "sources"}) {
    const auto text =
        embedded_text(embedded_reference(), std::string("schema/reference/") + name + ".csv");
    const CsvTable all = table(name);
    for (std::size_t i = 0; i < all.size(); ++i) {
      const std::string& id = all.row(i).front();
      CAPTURE(name, id);
      const CsvTable alone = CsvTable::parse(reference::row_alone(text, id), name);
      REQUIRE(alone.size() == 1);
      CHECK(alone.header() == all.header());
      CHECK(alone.row(0) == all.row(i));
    }
    for (const char* other : {"", "no-such", "id", "a,b", "\"", "\n"})
      CHECK(reference::row_alone(text, other).empty());
  }
  CHECK(reference::row_alone("id,text\nb,\"x\ny\"\nc,z\n", "b") == "id,text\nb,\"x\ny\"");
}
