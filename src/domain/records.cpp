#include "domain/records.h"

#include <algorithm>
#include <chrono>
#include <cmath>

#include "domain/record_fields.h"

namespace trencher {

using namespace fields;

namespace {

// Thousandths of a per cent: bodies hold whole numbers only.
Json thousandths(const std::optional<double>& value) {
  return value ? Json(std::int64_t{std::llround(*value * 1000)}) : Json();
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
  if (!hours.empty()) out.set("hours", to_json(hours));
  if (!days_off.empty()) {
    Json days = Json::array();
    for (const Day off : days_off) days.push(iso(off));
    out.set("days_off", std::move(days));
  }
  if (!market_days.empty()) {
    Json days = Json::array();
    for (const MarketDay& market : market_days)
      days.push(Json::object().set("day", iso(market.day)).set("name", filled(market.name)));
    out.set("market_days", std::move(days));
  }
  if (rack) out.set("rack", *rack);
  if (!minutes.empty()) {
    Json each = Json::object();
    for (const auto& [step, count] : minutes) each.set(step, count);
    out.set("minutes", std::move(each));
  }
  out.set("country", filled(country)).set("responsible", filled(responsible));
  return out;
}

Workshop Workshop::read(const Json& body) {
  Workshop out{body.text("maker"), body.text("address"), body.text("contact"),
               body.texts("markets"), body.text("zone")};
  out.units = body.text("units") == "us" ? Units::us : Units::metric;
  out.cross_contact_declared = body.find("cross_contact") != nullptr;
  out.cross_contact = body.texts("cross_contact");
  if (const Json* hours = body.find("hours")) out.hours = hours_from_json(*hours);
  for (const std::string& off : body.texts("days_off")) out.days_off.push_back(read_iso_day(off));
  if (const Json* days = body.find("market_days"))
    for (const Json& market : days->items())
      out.market_days.push_back({read_iso_day(market.text("day")), read_text(market, "name")});
  if (const auto rack = body.maybe_integer("rack")) out.rack = static_cast<int>(*rack);
  if (const Json* minutes = body.find("minutes"))
    for (const auto& [step, count] : minutes->members())
      out.minutes[step] = static_cast<int>(count.as_integer());
  out.country = read_text(body, "country");
  out.responsible = read_text(body, "responsible");
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
  out.set("version", version > 1 ? Json(version) : Json()).set("valid_from", day(valid_from));
  out.set("supplier", filled(supplier)).set("label", label.json());
  return out.set("contains", filled(contains)).set("animal_origin", filled(animal_origin));
}

Product Product::read(const Json& body) {
  Product out;
  out.id = body.text("product");
  out.version = static_cast<int>(body.maybe_integer("version").value_or(1));
  out.valid_from = read_day(body, "valid_from");
  out.stock = body.text("stock");
  out.kind = body.text("kind");
  out.name = body.text("name");
  out.supplier = read_text(body, "supplier");
  out.label = Label::read(body.at("label"));
  out.contains = body.texts("contains");
  out.animal_origin = read_text(body, "animal_origin");
  return out;
}

Json WoodLot::body() const {
  Json out = Json::object();
  out.set("lot", id).set("species", species).set("common_name", filled(common_name));
  out.set("botanical_name", filled(botanical_name)).set("supplier", supplier);
  out.set("supplier_lot", lot).set("dried", filled(dried));
  out.set("moisture_permille", permille(moisture)).set("origin", filled(origin));
  out.set("from_customer", filled(from_customer)).set("mark", filled(mark));
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
  out.from_customer = body.flag("from_customer");
  out.mark = read_text(body, "mark");
  if (const Json* treated = body.find("treated")) out.treated = treated->as_boolean();
  return out;
}

Json Tin::body() const {
  Json out = Json::object();
  out.set("tin", id).set("stock", stock).set("product", filled(product)).set("kind", kind);
  out.set("product_version", product_version > 0 ? Json(product_version) : Json());
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
  const int first = out.product.empty() ? 0 : 1;
  out.product_version = static_cast<int>(body.maybe_integer("product_version").value_or(first));
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

std::optional<Day> use_by(const Tin& tin) {
  std::optional<Day> out = tin.best_before;
  if (tin.opened && tin.label.opened_life) {
    const Moment end{tin.opened->at + Seconds(tin.label.opened_life->value),
                     tin.opened->offset_minutes};
    const Day day = local_day(end);
    if (!out || std::chrono::sys_days(day) < std::chrono::sys_days(*out)) out = day;
  }
  return out;
}

bool is_about(const Statement& statement, const Tin& tin) {
  if (statement.subject == tin.id) return true;
  return !tin.product.empty() && statement.subject == tin.product &&
         std::max(statement.version, 1) == std::max(tin.product_version, 1);
}

Json Mix::body() const {
  Json out = Json::object();
  out.set("tin", id).set("stock", stock).set("name", name).set("drawn", drawn_json(drawn));
  set_amount(out, amount);
  return out;
}

Mix Mix::read(const Json& body) {
  Mix out;
  out.id = body.text("tin");
  out.stock = body.text("stock");
  out.name = body.text("name");
  out.drawn = read_drawn(body);
  out.amount = read_amount(body);
  return out;
}

Json Statement::body() const {
  Json out = Json::object();
  out.set("subject", subject).set("about", about).set("market", filled(market));
  out.set("version", version > 0 ? Json(version) : Json());
  out.set("contains", filled(contains)).set("declares_none", filled(declares_none));
  out.set("ingredients", filled(ingredients)).set("complete", filled(complete));
  out.set("dated", day(dated)).set("valid_until", day(valid_until));
  out.set("reference", filled(reference)).set("file_sha256", filled(file_sha256));
  return out.set("file_name", filled(file_name));
}

Statement Statement::read(const Json& body) {
  Statement out;
  out.subject = body.text("subject");
  out.version = static_cast<int>(body.maybe_integer("version").value_or(0));
  out.about = body.text("about");
  out.market = read_text(body, "market");
  out.contains = body.texts("contains");
  out.declares_none = body.texts("declares_none");
  out.ingredients = body.texts("ingredients");
  out.complete = body.flag("complete");
  out.dated = read_day(body, "dated");
  out.valid_until = read_day(body, "valid_until");
  out.reference = read_text(body, "reference");
  out.file_sha256 = read_text(body, "file_sha256");
  out.file_name = read_text(body, "file_name");
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

}  // namespace trencher
