#include "commands/corrections.h"

#include <fmt/format.h>

#include <functional>

#include "book/kinds.h"
#include "commands/choices.h"
#include "commands/shop.h"
#include "commands/step_options.h"
#include "commands/tin_kind.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

// How a typed value is laid over what an entry says; an empty value takes an optional one out.
template <typename Value>
struct Field {
  std::string name;
  std::function<void(Value&, const std::string&)> lay;
};

template <typename Value>
Json mended(Value value, const Json& old, const std::string& kind,
            const std::vector<Field<Value>>& fields, const std::vector<std::string>& set) {
  std::vector<std::string> names;
  for (const Field<Value>& field : fields) names.push_back(field.name);
  for (const std::string& item : set) {
    const auto equals = item.find('=');
    if (equals == std::string::npos)
      throw Error::request(fmt::format("--set '{}' has no equals sign; write FIELD=VALUE.", item));
    const std::string name = item.substr(0, equals);
    Call::check_known(name, "Field of a " + kind, names);
    for (const Field<Value>& field : fields)
      if (field.name == name) field.lay(value, item.substr(equals + 1));
  }
  Json out = value.body();
  for (const char* kept : {"note", "because"})
    if (const auto text = old.maybe_text(kept)) out.set(kept, *text);
  return out;
}

template <typename Value>
Field<Value> text(const std::string& name, std::string Value::*member) {
  return {name, [=](Value& value, const std::string& typed) {
            value.*member = checked_text(typed, name);
          }};
}

template <typename Value>
Field<Value> choice(const std::string& name, std::string Value::*member,
                    std::vector<std::string> choices) {
  return {name, [=](Value& value, const std::string& typed) {
            Call::check_known(typed, name, choices);
            value.*member = typed;
          }};
}

// An optional quantity read by `parse`.
template <typename Value, typename Quantity, typename Parse>
Field<Value> quantity(const std::string& name, std::optional<Quantity> Value::*member,
                      Parse parse) {
  return {name, [=](Value& value, const std::string& typed) {
            if (typed.empty())
              (value.*member).reset();
            else
              value.*member = parse(typed, name);
          }};
}

template <typename Value>
Field<Value> ids(Call& call, const std::string& name, std::vector<std::string> Value::*member,
                 const std::string& class_name) {
  return {name, [&call, name, member, class_name](Value& value, const std::string& typed) {
            value.*member = typed.empty() ? std::vector<std::string>{} : split(typed, ',');
            known_values(value.*member, name, book::ids_of_class(call.book(), class_name));
          }};
}

template <typename Value>
Field<Value> allergen_ids(const std::string& name, std::vector<std::string> Value::*member) {
  return {name, [member](Value& value, const std::string& typed) {
            value.*member =
                typed.empty() ? std::vector<std::string>{} : known_allergens(split(typed, ','));
          }};
}

bool yes(const std::string& typed, const std::string& name) {
  Call::check_known(typed, name, {"yes", "no"});
  return typed == "yes";
}

template <typename Value>
Field<Value> flag(const std::string& name, bool Value::*member) {
  return {name, [=](Value& value, const std::string& typed) { value.*member = yes(typed, name); }};
}

template <typename Value>
Field<Value> wait(const std::string& name, std::optional<Figure> Label::*member) {
  return {name, [=](Value& value, const std::string& typed) {
            if (typed.empty())
              (value.label.*member).reset();
            else
              value.label.*member = Figure{parse_duration(typed, name).count(), false};
          }};
}

template <typename Value>
std::vector<Field<Value>> label_fields() {
  return {
      wait<Value>("recoat-after", &Label::recoat_min),
      wait<Value>("recoat-before", &Label::recoat_max),
      wait<Value>("handle-after", &Label::handle),
      wait<Value>("pack-after", &Label::pack),
      wait<Value>("food-contact-after", &Label::food_contact),
      wait<Value>("clamp", &Label::clamp),
      wait<Value>("full-cure", &Label::full_cure),
      {"coats",
       [](Value& value, const std::string& typed) {
         value.label.coats = Figure{parse_count(typed, "coats", 1, 50), false};
       }},
      {"label-temp",
       [](Value& value, const std::string& typed) {
         value.label.reference_temp = Figure{parse_temperature(typed, "label-temp").milli, false};
       }},
      {"lowest-temp",
       [](Value& value, const std::string& typed) {
         value.label.lowest_temp = Figure{parse_temperature(typed, "lowest-temp").milli, false};
       }},
      {"coverage", [](Value& value, const std::string& typed) {
         value.label.coverage = Figure{parse_coverage(typed, "coverage").cm2_per_l, false};
       }}};
}

template <typename Value>
void lay_kind(Value& value, const std::string& typed) {
  const TinKind of = need_tin_kind(value.stock, typed);
  value.kind = typed;
  value.contains = of.contains;
  value.animal_origin = of.animal_origin;
  // What the label itself said is kept; the usual figures are the new kind's.
  Label label = of.label;
  for (auto member :
       {&Label::recoat_min, &Label::recoat_max, &Label::handle, &Label::pack, &Label::food_contact,
        &Label::clamp, &Label::full_cure, &Label::coats, &Label::coverage, &Label::reference_temp,
        &Label::lowest_temp, &Label::reference_rh, &Label::highest_rh})
    if (value.label.*member && !(value.label.*member)->usual) label.*member = value.label.*member;
  value.label = label;
}

Json mend_step(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const std::string kind = target.entry.kind;
  Step step = Step::read(kind, target.body);
  step.entry = target.entry.number;
  step.at = target.happened;
  const Batch batch = need_batch(call, step.batch);
  std::vector<Field<Step>> fields{
      {"pieces",
       [&batch](Step& s, const std::string& typed) {
         s.pieces = typed.empty() ? std::vector<int>{} : parse_piece_numbers(typed, batch.pieces);
       }},
      quantity("temp", &Step::temp, parse_temperature),
      quantity("rh", &Step::rh, parse_humidity),
      quantity("surface-temp", &Step::surface_temp, parse_temperature)};
  if (takes_tins(kind))
    fields.push_back({"from", [&call, kind](Step& s, const std::string& typed) {
                        s.drawn = parse_drawn(call, split(typed, ','), stock_of_step(kind));
                      }});
  if (kind == "sand" || kind == "scuff")
    fields.push_back(
        {"grit", [](Step& s, const std::string& typed) { s.grits = parse_grits(typed); }});
  if (kind == "raise-grain")
    fields.push_back({"rounds", [](Step& s, const std::string& typed) {
                        s.rounds = static_cast<int>(parse_count(typed, "rounds", 1, 9));
                      }});
  if (kind == "inspect") fields.push_back(choice("result", &Step::result, {"sound", "not-sound"}));
  if (kind == "inspect" || kind == "fit") fields.push_back(text("what", &Step::text));
  if (kind == "move")
    fields.push_back({"to", [&call](Step& s, const std::string& typed) {
                        s.place = need_place(call, typed, "Which place").id;
                      }});
  return mended(std::move(step), target.body, kind, fields, set);
}

Json mend_tin(const book::Effective& target, const std::vector<std::string>& set) {
  std::vector<Field<Tin>> fields{text("name", &Tin::name),
                                 text("supplier", &Tin::supplier),
                                 text("lot", &Tin::lot),
                                 quantity("amount", &Tin::amount, parse_amount),
                                 quantity("best-before", &Tin::best_before, parse_day),
                                 {"kind", lay_kind<Tin>}};
  for (Field<Tin>& field : label_fields<Tin>()) fields.push_back(std::move(field));
  return mended(Tin::read(target.body), target.body, "tin", fields, set);
}

Json mend_product(const book::Effective& target, const std::vector<std::string>& set) {
  std::vector<Field<Product>> fields{text("name", &Product::name),
                                     text("supplier", &Product::supplier),
                                     {"kind", lay_kind<Product>}};
  for (Field<Product>& field : label_fields<Product>()) fields.push_back(std::move(field));
  return mended(Product::read(target.body), target.body, "product", fields, set);
}

Json mend_wood(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<WoodLot>> fields{
      text("supplier", &WoodLot::supplier),
      text("lot", &WoodLot::lot),
      text("origin", &WoodLot::origin),
      choice("dried", &WoodLot::dried, {"kiln", "air"}),
      flag("reclaimed", &WoodLot::reclaimed),
      quantity("moisture", &WoodLot::moisture, parse_moisture),
      quantity("treated", &WoodLot::treated, yes),
      {"species", [&call](WoodLot& lot, const std::string& typed) {
         const auto species = find_species(call.book(), typed);
         if (!species) Call::check_known(typed, "Species", ids_of(reference::species()));
         lot.species = species->id;
         lot.common_name = species->common_name;
         lot.botanical_name = species->botanical_name;
       }}};
  return mended(WoodLot::read(target.body), target.body, "wood lot", fields, set);
}

Json mend_statement(const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Statement>> fields{
      choice("about", &Statement::about, {"ingredients", "allergens", "food-contact", "safety"}),
      choice("market", &Statement::market, markets()),
      allergen_ids("contains", &Statement::contains),
      allergen_ids("declares-none", &Statement::declares_none),
      flag("complete", &Statement::complete),
      quantity("dated", &Statement::dated, parse_day)};
  return mended(Statement::read(target.body), target.body, "statement", fields, set);
}

Json mend_batch(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Batch>> fields{
      ids(call, "wood", &Batch::wood, "wood"),
      ids(call, "glue", &Batch::glue, "glue"),
      ids(call, "finish", &Batch::finish, "finish"),
      choice("use", &Batch::use,
             {"cutting-board", "serving-board", "salad-bowl", "utensil", "toy"}),
      {"size", [](Batch& b, const std::string& typed) { b.size = parse_size(typed, "size"); }},
      {"pieces",
       [](Batch& b, const std::string& typed) {
         b.pieces = static_cast<int>(parse_count(typed, "pieces", 1, 999));
       }},
      {"place", [&call](Batch& b, const std::string& typed) {
         b.place = need_place(call, typed, "Which place").id;
       }}};
  return mended(Batch::read(target.body), target.body, "batch", fields, set);
}

Json mend_readings(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const auto one = [](Readings& readings) -> Reading& {
    if (readings.samples.size() != 1)
      throw Error::request(
          "These readings came from a file; strike the entry and import a mended file.");
    return readings.samples.front();
  };
  const std::vector<Field<Readings>> fields{
      {"temp", [one](Readings& r,
                     const std::string& typed) { one(r).temp = parse_temperature(typed, "temp"); }},
      {"rh",
       [one](Readings& r, const std::string& typed) {
         if (typed.empty())
           one(r).rh.reset();
         else
           one(r).rh = parse_humidity(typed, "rh");
       }},
      {"place", [&call](Readings& r, const std::string& typed) {
         r.place = need_place(call, typed, "Which place").id;
       }}};
  return mended(Readings::read(target.entry.number, target.body), target.body, "reading", fields,
                set);
}

Json mend_gift(const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Gift>> fields{choice("as", &Gift::as, {"gift", "sale", "private-gift"}),
                                        choice("market", &Gift::market, markets()),
                                        flag("food-business", &Gift::food_business)};
  return mended(Gift::read(target.body), target.body, "gift or sale", fields, set);
}

Json mend_place(const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Place>> fields{text("name", &Place::name),
                                         quantity("temp", &Place::temp, parse_temperature),
                                         quantity("rh", &Place::rh, parse_humidity)};
  return mended(Place::read(target.body), target.body, "place", fields, set);
}

}  // namespace

Json corrected_body(Call& call, const book::Effective& target,
                    const std::vector<std::string>& set) {
  const std::string& kind = target.entry.kind;
  if (set.empty()) return target.body;
  if (book::is_step(kind)) return mend_step(call, target, set);
  if (kind == "tin") return mend_tin(target, set);
  if (kind == "product") return mend_product(target, set);
  if (kind == "wood") return mend_wood(call, target, set);
  if (kind == "statement") return mend_statement(target, set);
  if (kind == "batch") return mend_batch(call, target, set);
  if (kind == "readings") return mend_readings(call, target, set);
  if (kind == "give") return mend_gift(target, set);
  if (kind == "place") return mend_place(target, set);
  throw Error::request(fmt::format(
      "Entry {} is a {}; strike it and enter it anew, its fields are not corrected one by one.",
      target.entry.number, kind));
}

}  // namespace trencher::commands
