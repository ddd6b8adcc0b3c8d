#include "domain/records.h"

#include <fmt/format.h>

#include <algorithm>

#include "domain/error.h"

namespace trencher {
namespace {

std::optional<Celsius> celsius(const Json& body, std::string_view name) {
  const auto milli = body.maybe_integer(name);
  return milli ? std::optional(Celsius{*milli}) : std::nullopt;
}

std::optional<Percent> percent(const Json& body, std::string_view name) {
  const auto permille = body.maybe_integer(name);
  return permille ? std::optional(Percent{*permille}) : std::nullopt;
}

Json milli(const std::optional<Celsius>& value) { return value ? Json(value->milli) : Json(); }
Json permille(const std::optional<Percent>& value) {
  return value ? Json(value->permille) : Json();
}
Json day(const std::optional<Day>& value) { return value ? Json(iso(*value)) : Json(); }
Json instant(const std::optional<Instant>& value) { return value ? Json(iso(*value)) : Json(); }

std::optional<Day> read_day(const Json& body, std::string_view name) {
  const auto text = body.maybe_text(name);
  if (!text) return {};
  const auto day = day_from_iso(*text);
  if (!day)
    throw Error::book(
        fmt::format("The book has '{}' as the day '{}', which is none.", *text, name));
  return day;
}

// Absent and empty are one.
Json filled(const std::string& value) { return value.empty() ? Json() : Json(value); }
Json filled(const std::vector<std::string>& values) {
  return values.empty() ? Json() : Json::list(values);
}
Json filled(const std::vector<int>& values) { return values.empty() ? Json() : Json::list(values); }
Json filled(bool value) { return value ? Json(true) : Json(); }

std::string read_text(const Json& body, std::string_view name) {
  return body.maybe_text(name).value_or("");
}

std::vector<int> read_numbers(const Json& body, std::string_view name) {
  const auto wide = body.integers(name);
  return {wide.begin(), wide.end()};
}

void set_amount(Json& body, const std::optional<Amount>& amount) {
  if (!amount) return;
  body.set(amount->measure == Amount::Measure::volume ? "amount_ul" : "amount_mg", amount->value);
}

std::optional<Amount> read_amount(const Json& body) {
  if (const auto ul = body.maybe_integer("amount_ul")) return Amount{Amount::Measure::volume, *ul};
  if (const auto mg = body.maybe_integer("amount_mg")) return Amount{Amount::Measure::mass, *mg};
  return {};
}

Json size_json(const Size& size) {
  Json out = Json::object();
  out.set("length_um", size.length.um).set("thickness_um", size.thickness.um);
  out.set("width_um", size.width.um);
  return out;
}

Size read_size(const Json& json) {
  return {{json.integer("length_um")}, {json.integer("width_um")}, {json.integer("thickness_um")}};
}

// Thousandths of a per cent: bodies hold whole numbers only.
Json thousandths(const std::optional<double>& value) {
  return value ? Json(static_cast<std::int64_t>(*value * 1000 + 0.5)) : Json();
}

std::optional<double> read_thousandths(const Json& body, std::string_view name) {
  const auto value = body.maybe_integer(name);
  return value ? std::optional(static_cast<double>(*value) / 1000) : std::nullopt;
}

}  // namespace

Json Workshop::body() const {
  Json out = Json::object();
  out.set("maker", maker).set("address", address).set("contact", contact);
  out.set("markets", Json::list(markets)).set("zone", zone);
  out.set("units", units == Units::us ? "us" : "metric");
  if (cross_contact_declared) out.set("cross_contact", Json::list(cross_contact));
  return out;
}

Workshop Workshop::read(const Json& body) {
  Workshop out{body.text("maker"), body.text("address"), body.text("contact"),
               body.texts("markets"), body.text("zone")};
  out.units = body.text("units") == "us" ? Units::us : Units::metric;
  out.cross_contact_declared = body.find("cross_contact") != nullptr;
  out.cross_contact = body.texts("cross_contact");
  return out;
}

Json Worker::body() const {
  Json out = Json::object();
  out.set("worker", id).set("person", person).set("seal", seal);
  return out.set("may_sign_off", may_sign_off);
}

Worker Worker::read(const Json& body) {
  return {body.integer("worker"), body.text("person"), body.text("seal"),
          body.flag("may_sign_off")};
}

Json Place::body() const {
  Json out = Json::object();
  out.set("place", id).set("name", name).set("temp_mc", milli(temp));
  return out.set("rh_permille", permille(rh));
}

Place Place::read(const Json& body) {
  return {body.text("place"), body.text("name"), celsius(body, "temp_mc"),
          percent(body, "rh_permille")};
}

Json Product::body() const {
  Json out = Json::object();
  out.set("product", id).set("stock", stock).set("kind", kind).set("name", name);
  out.set("supplier", filled(supplier)).set("label", label.json());
  return out.set("contains", filled(contains)).set("animal_origin", filled(animal_origin));
}

Product Product::read(const Json& body) {
  return {body.text("product"),        body.text("stock"),
          body.text("kind"),           body.text("name"),
          read_text(body, "supplier"), Label::read(body.at("label")),
          body.texts("contains"),      read_text(body, "animal_origin")};
}

Json WoodLot::body() const {
  Json out = Json::object();
  out.set("lot", id).set("species", species).set("common_name", filled(common_name));
  out.set("botanical_name", filled(botanical_name)).set("supplier", supplier);
  out.set("supplier_lot", lot).set("dried", filled(dried));
  out.set("moisture_permille", permille(moisture)).set("origin", filled(origin));
  return out.set("reclaimed", filled(reclaimed)).set("treated", Json(treated));
}

WoodLot WoodLot::read(const Json& body) {
  WoodLot out;
  out.id = body.text("lot");
  out.species = body.text("species");
  out.common_name = read_text(body, "common_name");
  out.botanical_name = read_text(body, "botanical_name");
  out.supplier = body.text("supplier");
  out.lot = body.text("supplier_lot");
  out.dried = read_text(body, "dried");
  out.moisture = percent(body, "moisture_permille");
  out.origin = read_text(body, "origin");
  out.reclaimed = body.flag("reclaimed");
  if (const Json* treated = body.find("treated")) out.treated = treated->as_boolean();
  return out;
}

Json Tin::body() const {
  Json out = Json::object();
  out.set("tin", id).set("stock", stock).set("product", filled(product)).set("kind", kind);
  out.set("name", name).set("supplier", supplier).set("supplier_lot", lot);
  out.set("best_before", day(best_before)).set("label", label.json());
  set_amount(out, amount);
  return out.set("contains", filled(contains)).set("animal_origin", filled(animal_origin));
}

Tin Tin::read(const Json& body) {
  Tin out;
  out.id = body.text("tin");
  out.stock = body.text("stock");
  out.product = read_text(body, "product");
  out.kind = body.text("kind");
  out.name = body.text("name");
  out.supplier = body.text("supplier");
  out.lot = body.text("supplier_lot");
  out.best_before = read_day(body, "best_before");
  out.amount = read_amount(body);
  out.label = Label::read(body.at("label"));
  out.contains = body.texts("contains");
  out.animal_origin = read_text(body, "animal_origin");
  return out;
}

Json Statement::body() const {
  Json out = Json::object();
  out.set("subject", subject).set("about", about).set("market", filled(market));
  out.set("contains", filled(contains)).set("declares_none", filled(declares_none));
  out.set("ingredients", filled(ingredients)).set("complete", filled(complete));
  out.set("dated", day(dated)).set("file_sha256", filled(file_sha256));
  return out.set("file_name", filled(file_name));
}

Statement Statement::read(const Json& body) {
  Statement out;
  out.subject = body.text("subject");
  out.about = body.text("about");
  out.market = read_text(body, "market");
  out.contains = body.texts("contains");
  out.declares_none = body.texts("declares_none");
  out.ingredients = body.texts("ingredients");
  out.complete = body.flag("complete");
  out.dated = read_day(body, "dated");
  out.file_sha256 = read_text(body, "file_sha256");
  out.file_name = read_text(body, "file_name");
  return out;
}

Json Batch::body() const {
  Json out = Json::object();
  out.set("batch", code).set("wood", Json::list(wood)).set("glue", filled(glue));
  out.set("finish", filled(finish)).set("schedule", to_json(schedule)).set("pieces", pieces);
  return out.set("size", size_json(size)).set("use", use).set("place", place);
}

Batch Batch::read(const Json& body) {
  Batch out;
  out.code = body.text("batch");
  out.wood = body.texts("wood");
  out.glue = body.texts("glue");
  out.finish = body.texts("finish");
  out.schedule = schedule_from_json(body.at("schedule"));
  out.pieces = static_cast<int>(body.integer("pieces"));
  out.size = read_size(body.at("size"));
  out.use = body.text("use");
  out.place = body.text("place");
  return out;
}

Json Step::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", filled(pieces));
  if (!drawn.empty()) {
    Json list = Json::array();
    for (const Drawn& part : drawn) {
      Json item = Json::object();
      item.set("tin", part.tin).set("estimated", filled(part.estimated));
      set_amount(item, part.amount);
      list.push(std::move(item));
    }
    out.set("drawn", std::move(list));
  }
  out.set("temp_mc", milli(temp)).set("surface_temp_mc", milli(surface_temp));
  out.set("rh_permille", permille(rh)).set("place", filled(place)).set("grits", filled(grits));
  out.set("rounds", Json(rounds)).set("result", filled(result)).set("rags", filled(rags));
  return out.set("text", filled(text));
}

Step Step::read(std::string_view kind, const Json& body) {
  Step out;
  out.kind = kind;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  if (const Json* list = body.find("drawn"))
    for (const Json& item : list->items())
      out.drawn.push_back({item.text("tin"), read_amount(item), item.flag("estimated")});
  out.temp = celsius(body, "temp_mc");
  out.surface_temp = celsius(body, "surface_temp_mc");
  out.rh = percent(body, "rh_permille");
  out.place = read_text(body, "place");
  out.grits = read_numbers(body, "grits");
  if (const auto rounds = body.maybe_integer("rounds")) out.rounds = static_cast<int>(*rounds);
  out.result = read_text(body, "result");
  out.rags = body.flag("rags");
  out.text = read_text(body, "text");
  return out;
}

// Samples are rows of time, thousandths of a degree and tenths of a per cent (or no third number).
Json Readings::body() const {
  Json out = Json::object();
  out.set("place", place).set("file_name", filled(file_name));
  Json rows = Json::array();
  for (const Reading& sample : samples) {
    Json row = Json::array();
    row.push(sample.at.time_since_epoch().count()).push(sample.temp.milli);
    if (sample.rh) row.push(sample.rh->permille);
    rows.push(std::move(row));
  }
  return out.set("samples", std::move(rows));
}

Readings Readings::read(std::int64_t entry, const Json& body) {
  Readings out;
  out.place = body.text("place");
  out.file_name = read_text(body, "file_name");
  for (const Json& row : body.at("samples").items()) {
    const Json::Array& cells = row.items();
    if (cells.size() < 2) row.at("temp_mc");  // throws: a damaged body
    Reading reading{entry, Instant(Seconds(cells[0].as_integer())), {cells[1].as_integer()}, {}};
    if (cells.size() > 2) reading.rh = Percent{cells[2].as_integer()};
    out.samples.push_back(reading);
  }
  return out;
}

Json SignOff::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", Json::list(pieces));
  out.set("food_contact", instant(food_contact)).set("guessed", filled(guessed));
  return out.set("stops", filled(stops));
}

SignOff SignOff::read(const Json& body) {
  SignOff out;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  if (const auto at = body.maybe_text("food_contact")) out.food_contact = instant_from_iso(*at);
  out.guessed = body.flag("guessed");
  out.stops = body.texts("stops");
  return out;
}

Json Gift::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", Json::list(pieces)).set("person", person);
  out.set("seal", seal).set("as", as).set("market", market);
  return out.set("food_business", filled(food_business));
}

Gift Gift::read(const Json& body) {
  Gift out;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.person = body.text("person");
  out.seal = body.text("seal");
  out.as = body.text("as");
  out.market = body.text("market");
  out.food_business = body.flag("food_business");
  return out;
}

Json PrintedCard::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", Json::list(pieces)).set("language", language);
  return out.set("food_contact", day(food_contact)).set("guessed", filled(guessed));
}

PrintedCard PrintedCard::read(const Json& body) {
  PrintedCard out;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.language = body.text("language");
  out.food_contact = read_day(body, "food_contact");
  out.guessed = body.flag("guessed");
  return out;
}

Json RagsDone::body() const {
  return Json::object().set("batch", batch).set("coats", Json::list(coats));
}

RagsDone RagsDone::read(const Json& body) { return {body.text("batch"), body.integers("coats")}; }

Json to_json(const Schedule& schedule) {
  Json out = Json::object();
  out.set("id", schedule.id).set("name", schedule.name);
  Json slots = Json::array();
  for (const auto& slot : schedule.slots) {
    Json names = Json::array();
    for (const Mechanism mechanism : slot) names.push(to_string(mechanism));
    slots.push(std::move(names));
  }
  out.set("slots", std::move(slots));
  Json steps = Json::array();
  for (const ScheduleStep& step : schedule.steps) {
    Json item = Json::object();
    item.set("step", step.step).set("grits", filled(step.grits));
    item.set("slot", step.slot ? Json(step.slot) : Json()).set("count", Json(step.count));
    item.set("minutes", Json(step.minutes)).set("source", filled(step.source));
    steps.push(std::move(item));
  }
  return out.set("steps", std::move(steps));
}

Schedule schedule_from_json(const Json& json) {
  Schedule out;
  out.id = json.text("id");
  out.name = json.text("name");
  for (const Json& names : json.at("slots").items()) {
    auto& slot = out.slots.emplace_back();
    for (const Json& name : names.items()) slot.push_back(parse_mechanism(name.as_text()));
  }
  for (const Json& item : json.at("steps").items()) {
    ScheduleStep step;
    step.step = item.text("step");
    step.grits = read_numbers(item, "grits");
    step.slot = static_cast<int>(item.maybe_integer("slot").value_or(0));
    if (const auto count = item.maybe_integer("count")) step.count = static_cast<int>(*count);
    if (const auto minutes = item.maybe_integer("minutes"))
      step.minutes = static_cast<int>(*minutes);
    step.source = read_text(item, "source");
    out.steps.push_back(std::move(step));
  }
  return out;
}

Json to_json(const Species& species) {
  Json out = Json::object();
  out.set("species", species.id).set("common_name", species.common_name);
  out.set("botanical_name", species.botanical_name).set("group", species.group);
  out.set("pore", filled(species.pore)).set("side_hardness_n", Json(species.side_hardness_n));
  out.set("hardness_source", filled(species.hardness_source));
  out.set("radial_shrink_thousandths", thousandths(species.radial_shrink_pct));
  out.set("tangential_shrink_thousandths", thousandths(species.tangential_shrink_pct));
  out.set("health_note", filled(species.health_note));
  out.set("health_source", filled(species.health_source)).set("toxic", filled(species.toxic));
  out.set("sensitiser", filled(species.sensitiser)).set("oily", filled(species.oily));
  out.set("nut_family", filled(species.nut_family));
  return out.set("notes", filled(species.notes));
}

Species species_from_json(const Json& json) {
  Species out;
  out.id = json.text("species");
  out.common_name = json.text("common_name");
  out.botanical_name = json.text("botanical_name");
  out.group = json.text("group");
  out.pore = read_text(json, "pore");
  if (const auto n = json.maybe_integer("side_hardness_n"))
    out.side_hardness_n = static_cast<int>(*n);
  out.hardness_source = read_text(json, "hardness_source");
  out.radial_shrink_pct = read_thousandths(json, "radial_shrink_thousandths");
  out.tangential_shrink_pct = read_thousandths(json, "tangential_shrink_thousandths");
  out.health_note = read_text(json, "health_note");
  out.health_source = read_text(json, "health_source");
  out.toxic = json.flag("toxic");
  out.sensitiser = json.flag("sensitiser");
  out.oily = json.flag("oily");
  out.nut_family = read_text(json, "nut_family");
  out.notes = read_text(json, "notes");
  return out;
}

bool names_piece(const std::vector<int>& pieces, int number) {
  return pieces.empty() || number == 0 ||
         std::find(pieces.begin(), pieces.end(), number) != pieces.end();
}

}  // namespace trencher
