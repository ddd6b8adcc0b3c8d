// The names in these bodies are what books hold: changing one makes old books unreadable, so each
// body is written out, once with every member and once with the fewest.
#include "domain/records.h"

#include <catch2/catch.hpp>

#include "refusal.h"

using namespace trencher;

namespace {

const std::string wait_label =
    R"({"mechanism":"oxidative","recoat_min_s":{"from":"label","value":86400}})";

// Reads `text` as a record, and checks that its body is the same bytes again.
template <typename Record>
Record kept(const std::string& text) {
  const Record record = Record::read(Json::parse(text));
  CHECK(record.body().canonical() == text);
  return record;
}

Step kept_step(std::string_view kind, const std::string& text) {
  const Step step = Step::read(kind, Json::parse(text));
  CHECK(step.kind == kind);
  CHECK(step.body().canonical() == text);
  return step;
}

}  // namespace

TEST_CASE("records: a workshop tells none declared from nothing declared") {
  const auto full = kept<Workshop>(
      R"({"address":"1 Mill Lane","contact":"mail","cross_contact":["milk"],"maker":"A Maker",)"
      R"("markets":["us","eu"],"units":"us","zone":"Europe/London"})");
  CHECK(full.maker == "A Maker");
  CHECK(full.address == "1 Mill Lane");
  CHECK(full.contact == "mail");
  CHECK(full.zone == "Europe/London");
  CHECK(full.units == Units::us);
  CHECK(full.cross_contact_declared);
  const auto none = kept<Workshop>(
      R"({"address":"a","contact":"c","cross_contact":[],"maker":"m","markets":["uk"],)"
      R"("units":"metric","zone":"UTC"})");
  CHECK(none.cross_contact_declared);
  CHECK(none.cross_contact.empty());
  CHECK(none.units == Units::metric);
  const auto silent = kept<Workshop>(
      R"({"address":"a","contact":"c","maker":"m","markets":["uk"],"units":"metric",)"
      R"("zone":"UTC"})");
  CHECK_FALSE(silent.cross_contact_declared);
}

TEST_CASE("records: workers and places") {
  const auto worker = kept<Worker>(R"({"may_sign_off":true,"person":"p1","seal":"s1","worker":7})");
  CHECK(worker.id == 7);
  CHECK(worker.person == "p1");
  CHECK(worker.seal == "s1");
  CHECK(worker.may_sign_off);
  const auto place =
      kept<Place>(R"({"name":"Garage","place":"garage","rh_permille":550,"temp_mc":-5000})");
  CHECK(place.id == "garage");
  CHECK(place.name == "Garage");
  CHECK(place.temp == Celsius{-5000});
  CHECK(place.rh == Percent{550});
  CHECK_FALSE(kept<Place>(R"({"name":"Garage","place":"garage"})").temp.has_value());
}

TEST_CASE("records: products and tins carry their label") {
  const auto product = kept<Product>(
      R"({"animal_origin":"no","contains":["walnut"],"kind":"walnut-oil","label":)" + wait_label +
      R"(,"name":"Oil","product":"P1","stock":"finish","supplier":"S"})");
  CHECK(product.id == "P1");
  CHECK(product.supplier == "S");
  CHECK(product.version == 1);
  CHECK_FALSE(product.valid_from.has_value());
  CHECK(product.label.recoat_min == Figure{86400, false});
  kept<Product>(
      R"({"kind":"k","label":{"mechanism":"none"},"name":"n","product":"P2","stock":"glue"})");
  const auto later = kept<Product>(
      R"({"kind":"k","label":{"mechanism":"none"},"name":"n","product":"P1","stock":"other",)"
      R"("valid_from":"2026-03-01","version":2})");
  CHECK(later.version == 2);
  REQUIRE(later.valid_from.has_value());
  CHECK(iso(*later.valid_from) == "2026-03-01");

  const std::string tin_start = R"({"amount_)";
  const std::string tin_end =
      R"(,"animal_origin":"yes","best_before":"2027-02-28","contains":["milk"],"kind":"k",)"
      R"("label":)" +
      wait_label +
      R"(,"name":"n","product":"P1","product_version":3,"stock":"finish","supplier":"S",)"
      R"("supplier_lot":"L7","tin":"F1"})";
  const auto by_mass = kept<Tin>(tin_start + R"(mg":100000)" + tin_end);
  CHECK(by_mass.amount == Amount{Amount::Measure::mass, 100000});
  const auto by_volume = kept<Tin>(tin_start + R"(ul":500000)" + tin_end);
  CHECK(by_volume.amount == Amount{Amount::Measure::volume, 500000});
  CHECK(by_volume.id == "F1");
  CHECK(by_volume.lot == "L7");
  CHECK(by_volume.supplier == "S");
  CHECK(by_volume.product == "P1");
  CHECK(by_volume.product_version == 3);
  REQUIRE(by_volume.best_before.has_value());
  CHECK(iso(*by_volume.best_before) == "2027-02-28");
  const auto least =
      kept<Tin>(R"({"kind":"k","label":{"mechanism":"none"},"name":"n","stock":"glue",)"
                R"("supplier":"S","supplier_lot":"","tin":"G1"})");
  CHECK_FALSE(least.amount.has_value());
  CHECK_FALSE(least.best_before.has_value());
  CHECK(least.product_version == 0);
}

TEST_CASE("records: a tin of a product without a version is of the first") {
  const std::string without =
      R"({"kind":"k","label":{"mechanism":"none"},"name":"n","product":"P1","stock":"finish",)"
      R"("supplier":"S","supplier_lot":"","tin":"F1"})";
  const Tin tin = Tin::read(Json::parse(without));
  CHECK(tin.product_version == 1);
  CHECK(tin.body().canonical() ==
        R"({"kind":"k","label":{"mechanism":"none"},"name":"n","product":"P1",)"
        R"("product_version":1,"stock":"finish","supplier":"S","supplier_lot":"","tin":"F1"})");
}

TEST_CASE("records: a wood lot tells untreated from not known") {
  const auto full = kept<WoodLot>(
      R"({"botanical_name":"Acer saccharum","common_name":"Hard maple","dried":"kiln","lot":"W1",)"
      R"("moisture_permille":85,"origin":"CA","reclaimed":true,"species":"hard-maple",)"
      R"("supplier":"S","supplier_lot":"L","treated":false})");
  CHECK(full.id == "W1");
  CHECK(full.lot == "L");
  CHECK(full.moisture == Percent{85});
  CHECK(full.reclaimed);
  REQUIRE(full.treated.has_value());
  CHECK_FALSE(*full.treated);
  CHECK_FALSE(full.from_customer);
  CHECK(kept<WoodLot>(R"({"from_customer":true,"lot":"W3","species":"unknown","supplier":"",)"
                      R"("supplier_lot":""})")
            .from_customer);
  const auto least =
      kept<WoodLot>(R"({"lot":"W2","species":"beech","supplier":"S","supplier_lot":""})");
  CHECK_FALSE(least.treated.has_value());
  CHECK_FALSE(least.reclaimed);
}

TEST_CASE("records: a statement is complete only where it says so") {
  const auto full = kept<Statement>(
      R"({"about":"ingredients","complete":true,"contains":["milk"],"dated":"2026-01-31",)"
      R"("declares_none":["egg"],"file_name":"f.pdf","file_sha256":"00ff",)"
      R"("ingredients":["oil","wax"],)"
      R"("market":"eu","subject":"F1"})");
  CHECK(full.complete);
  CHECK(full.contains == std::vector<std::string>{"milk"});
  CHECK(full.declares_none == std::vector<std::string>{"egg"});
  CHECK(full.ingredients == std::vector<std::string>{"oil", "wax"});
  CHECK(full.subject == "F1");
  CHECK(full.about == "ingredients");
  CHECK(full.market == "eu");
  const auto least = kept<Statement>(R"({"about":"safety","subject":"G1"})");
  CHECK_FALSE(least.complete);
  CHECK_FALSE(least.dated.has_value());
  CHECK(least.version == 0);
  CHECK(kept<Statement>(R"({"about":"safety","subject":"P1","version":2})").version == 2);
}

TEST_CASE("records: a batch holds its schedule and its size") {
  const auto batch = kept<Batch>(
      R"({"batch":"26-014","finish":["F1","F2"],"glue":["G1"],"pieces":6,"place":"garage",)"
      R"("schedule":{"id":"oil","name":"Oil","slots":[["oxidative","non-drying"],["wax-set"]],)"
      R"("steps":[{"grits":[80,120],"minutes":10,"source":"s","step":"sand"},)"
      R"({"count":3,"slot":2,"step":"coat"},{"step":"inspect"}]},)"
      R"("size":{"length_um":400000,"thickness_um":22000,"width_um":250000},)"
      R"("use":"cutting-board","wood":["W1","W2"]})");
  CHECK(batch.code == "26-014");
  CHECK(batch.pieces == 6);
  CHECK(batch.size == Size{{400000}, {250000}, {22000}});
  CHECK(batch.wood == std::vector<std::string>{"W1", "W2"});
  CHECK(batch.finish == std::vector<std::string>{"F1", "F2"});
  CHECK(batch.use == "cutting-board");
  CHECK(batch.place == "garage");
  const Schedule& schedule = batch.schedule;
  CHECK(schedule.slots[0][1] == Mechanism::non_drying);
  REQUIRE(schedule.steps.size() == 3);
  CHECK(schedule.steps[0].grits == std::vector{80, 120});
  CHECK(schedule.steps[0].minutes == 10);
  CHECK(schedule.steps[1].count == 3);
  CHECK(schedule.steps[1].slot == 2);
  CHECK(schedule.steps[2].slot == 0);
  CHECK_FALSE(schedule.steps[2].count.has_value());
  CHECK(batch.person.empty());
  CHECK_FALSE(batch.promised.has_value());
  const auto ordered = kept<Batch>(
      R"({"batch":"26-015","person":"p1","pieces":1,"place":"garage","promised":"2026-06-01",)"
      R"("schedule":{"id":"oil","name":"Oil","slots":[],"steps":[]},"seal":"s1",)"
      R"("size":{"length_um":1,"thickness_um":2,"width_um":3},"use":"toy","wood":["W1"]})");
  CHECK(ordered.person == "p1");
  CHECK(ordered.seal == "s1");
  REQUIRE(ordered.promised.has_value());
  CHECK(iso(*ordered.promised) == "2026-06-01");
}

TEST_CASE("records: a step holds what went in and what the air was") {
  const auto coat = kept_step(
      "coat", R"({"batch":"26-014","drawn":[{"amount_ul":5000,"estimated":true,"tin":"F1"},)"
              R"({"amount_mg":700,"tin":"F2"},{"tin":"F3"}],"pieces":[1,3],"place":"shed",)"
              R"("rags":true,"rh_permille":550,"surface_temp_mc":18000,"temp_mc":20000})");
  CHECK(coat.batch == "26-014");
  CHECK(coat.pieces == std::vector{1, 3});
  REQUIRE(coat.drawn.size() == 3);
  CHECK(coat.drawn[0].estimated);
  CHECK(coat.drawn[0].amount == Amount{Amount::Measure::volume, 5000});
  CHECK(coat.drawn[1].amount == Amount{Amount::Measure::mass, 700});
  CHECK_FALSE(coat.drawn[1].estimated);
  CHECK_FALSE(coat.drawn[2].amount.has_value());
  CHECK(coat.temp == Celsius{20000});
  CHECK(coat.surface_temp == Celsius{18000});
  CHECK(coat.rh == Percent{550});
  CHECK(coat.rags);
  const auto sand = kept_step("sand", R"({"batch":"26-014","grits":[120,180]})");
  CHECK(sand.grits == std::vector{120, 180});
  CHECK_FALSE(sand.rags);
  CHECK(kept_step("raise-grain", R"({"batch":"26-014","rounds":2})").rounds == 2);
  const auto glued = kept_step(
      "glue-up", R"({"batch":"26-014","strips":9,"tin_temp_mc":16000,"wood_temp_mc":-17000})");
  CHECK(glued.strips == 9);
  CHECK(glued.tin_temp == Celsius{16000});
  CHECK(glued.wood_temp == Celsius{-17000});
  CHECK_FALSE(glued.surface_temp.has_value());
  CHECK_FALSE(sand.strips.has_value());
  const auto inspect =
      kept_step("inspect", R"({"batch":"26-014","result":"not-sound","text":"a crack"})");
  CHECK(inspect.result == "not-sound");
  CHECK(inspect.text == "a crack");
}

TEST_CASE("records: readings keep their times and whether humidity was measured") {
  const std::string text = R"({"file_name":"log.csv","place":"garage",)"
                           R"("samples":[[1767225600,20500,550],[1767229200,-100]]})";
  const auto readings = Readings::read(9, Json::parse(text));
  CHECK(readings.body().canonical() == text);
  CHECK(readings.place == "garage");
  CHECK(readings.file_name == "log.csv");
  REQUIRE(readings.samples.size() == 2);
  CHECK(readings.samples[0].entry == 9);
  CHECK(iso(readings.samples[0].at) == "2026-01-01T00:00:00Z");
  CHECK(readings.samples[0].temp == Celsius{20500});
  CHECK(readings.samples[0].rh == Percent{550});
  CHECK_FALSE(readings.samples[1].rh.has_value());
  CHECK(refusal([] {
          Readings::read(1, Json::parse(R"({"place":"garage","samples":[[1767225600]]})"));
        }).starts_with("book: An entry of the book has no member called 'temp_mc'"));
}

TEST_CASE("records: sign-offs and gifts and cards and rags") {
  const auto sign_off = kept<SignOff>(
      R"({"batch":"26-014","food_contact":"2026-03-01T00:00:00Z","guessed":true,"pieces":[1,2],)"
      R"("stops":["hardness"]})");
  CHECK(sign_off.batch == "26-014");
  CHECK(sign_off.guessed);
  CHECK(sign_off.stops == std::vector<std::string>{"hardness"});
  REQUIRE(sign_off.food_contact.has_value());
  CHECK(iso(*sign_off.food_contact) == "2026-03-01T00:00:00Z");
  CHECK_FALSE(kept<SignOff>(R"({"batch":"26-014","pieces":[1]})").food_contact.has_value());

  const auto gift =
      kept<Gift>(R"({"as":"sale","batch":"26-014","food_business":true,"market":"us","person":"p",)"
                 R"("pieces":[2],)"
                 R"("seal":"s"})");
  CHECK(gift.as == "sale");
  CHECK(gift.market == "us");
  CHECK(gift.food_business);
  CHECK(gift.person == "p");
  CHECK(gift.seal == "s");
  CHECK_FALSE(
      kept<Gift>(R"({"as":"gift","batch":"b","market":"eu","person":"p","pieces":[],"seal":"s"})")
          .food_business);

  const auto card = kept<PrintedCard>(
      R"({"batch":"26-014","food_contact":"2026-03-01","guessed":true,"language":"de",)"
      R"("pieces":[1]})");
  CHECK(card.language == "de");
  CHECK(card.guessed);
  REQUIRE(card.food_contact.has_value());
  CHECK(iso(*card.food_contact) == "2026-03-01");
  CHECK(kept<PrintedCard>(R"({"batch":"26-014","language":"en","pieces":[1]})").words.empty());
  const auto full_card = kept<PrintedCard>(
      R"({"batch":"26-014","contains":["walnut"],"language":"en","none_recorded":["egg","peanut"],)"
      R"("pieces":[1],"words":{"finish":"F1 Oil","wood":"Hard maple"}})");
  CHECK(full_card.contains == std::vector<std::string>{"walnut"});
  CHECK(full_card.none_recorded == std::vector<std::string>{"egg", "peanut"});
  CHECK(full_card.words ==
        std::map<std::string, std::string>{{"finish", "F1 Oil"}, {"wood", "Hard maple"}});

  CHECK(kept<RagsDone>(R"({"batch":"26-014","coats":[12,15]})").coats ==
        std::vector<std::int64_t>{12, 15});
}

TEST_CASE("records: a species of the user's own is kept") {
  const std::string full =
      R"({"botanical_name":"Malus","common_name":"Apple","group":"hardwood","hardness_source":"h",)"
      R"("health_note":"n","health_source":"s","notes":"o","nut_family":"f","oily":true,)"
      R"("pore":"diffuse",)"
      R"("radial_shrink_thousandths":5600,"sensitiser":true,"side_hardness_n":7700,)"
      R"("species":"apple",)"
      R"("tangential_shrink_thousandths":10100,"toxic":true})";
  const Species species = species_from_json(Json::parse(full));
  CHECK(to_json(species).canonical() == full);
  CHECK(species.side_hardness_n == 7700);
  CHECK(species.radial_shrink_pct == 5.6);
  CHECK(species.tangential_shrink_pct == 10.1);
  CHECK(species.toxic);
  const std::string least =
      R"({"botanical_name":"b","common_name":"c","group":"hardwood","species":"x"})";
  const Species unknown = species_from_json(Json::parse(least));
  CHECK(to_json(unknown).canonical() == least);
  CHECK_FALSE(unknown.side_hardness_n.has_value());
  CHECK_FALSE(unknown.toxic);
}

TEST_CASE("records: no piece named means all of them") {
  CHECK(names_piece({}, 1));
  CHECK(names_piece({1, 3}, 3));
  CHECK_FALSE(names_piece({1, 3}, 2));
}

TEST_CASE("records: a damaged day or standing is never read as something milder") {
  const std::string
      head = R"({"kind":"k","label":)",
      tail = R"(,"name":"n","stock":"finish","supplier":"s","supplier_lot":"l","tin":"F1")";
  const auto read = [&](const std::string& label, const std::string& more) {
    Tin::read(Json::parse(head + label + tail + more + "}"));
  };
  read(wait_label, R"(,"best_before":"2027-01-31")");
  CHECK_THROWS_AS(read(wait_label, R"(,"best_before":"2027-02-31")"), Error);
  CHECK_THROWS_AS(
      read(R"({"mechanism":"oxidative","recoat_min_s":{"from":"lable","value":1}})", ""), Error);
}
