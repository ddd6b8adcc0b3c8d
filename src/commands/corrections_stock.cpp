#include "commands/correction_fields.h"
#include "commands/label_options.h"
#include "commands/papers.h"
#include "commands/shop.h"
#include "commands/step_options.h"
#include "commands/tin_kind.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

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
      {"label-rh",
       [](Value& value, const std::string& typed) {
         value.label.reference_rh = Figure{parse_humidity(typed, "label-rh").permille, false};
       }},
      {"highest-rh",
       [](Value& value, const std::string& typed) {
         value.label.highest_rh = Figure{parse_humidity(typed, "highest-rh").permille, false};
       }},
      {"opened-life",
       [](Value& value, const std::string& typed) {
         value.label.opened_life = Figure{parse_life(typed, "opened-life").count(), false};
       }},
      {"pot-life",
       [](Value& value, const std::string& typed) {
         value.label.pot_life = Figure{parse_duration(typed, "pot-life").count(), false};
       }},
      {"coverage", [](Value& value, const std::string& typed) {
         value.label.coverage = Figure{parse_coverage(typed, "coverage").cm2_per_l, false};
       }}};
}

template <typename Value>
void lay_kind(Value& value, const std::string& typed) {
  if constexpr (requires { value.best_before; })
    if (!value.product.empty())
      throw Error::request(
          fmt::format("{} is of the product {}; correct the kind there.", value.id, value.product));
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

// A mix neither holds itself nor more of a tin than was in it.
void check_mix(Call& call, const Mix& before, const Mix& mix) {
  for (const Drawn& part : mix.drawn) {
    if (load_mix(call, part.tin).contains(mix.id))
      throw Error::request(fmt::format("{} is in {}; a mix cannot hold itself.", mix.id, part.tin));
    const auto left = amount_left(call, *book::find_tin(call.book(), part.tin));
    if (!left || !part.amount || part.amount->measure != left->measure) continue;
    std::int64_t there = left->value;
    for (const Drawn& old : before.drawn)
      if (old.tin == part.tin && old.amount && old.amount->measure == left->measure)
        there += old.amount->value;
    if (part.amount->value > there)
      throw Error::request(fmt::format("{} holds {} by the record; {} cannot go into the mix.",
                                       part.tin, show(Amount{left->measure, there}, call.units()),
                                       show(*part.amount, call.units())));
  }
}

Json mend_mix(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const Mix before = Mix::read(target.body);
  const std::vector<Field<Mix>> fields{
      text("name", &Mix::name, longest_name),
      quantity("amount", &Mix::amount, parse_amount),
      {"from", [&call, &before](Mix& mix, const std::string& typed) {
         mix.drawn = parse_drawn(call, split(typed, ','), {"finish", "glue", "other"});
         for (const Drawn& part : mix.drawn)
           if (const Tin tin = *book::find_tin(call.book(), part.tin);
               tin.stock != "other" && tin.stock != mix.stock)
             throw Error::request(
                 fmt::format("{} is {} and {} is {}; a mix is of one or the other.", tin.id,
                             tin.stock, mix.id, mix.stock));
         check_mix(call, before, mix);
         if (before.amount == sum_of(before.drawn)) mix.amount = sum_of(mix.drawn);
       }}};
  return mended(before, target.body, "mix", fields, set);
}

Json mend_tin(const book::Effective& target, const std::vector<std::string>& set) {
  std::vector<Field<Tin>> fields{text("name", &Tin::name, longest_name),
                                 text("supplier", &Tin::supplier, longest_name),
                                 text("lot", &Tin::lot, longest_name),
                                 quantity("amount", &Tin::amount, parse_amount),
                                 quantity("best-before", &Tin::best_before, parse_day),
                                 {"kind", lay_kind<Tin>}};
  for (Field<Tin>& field : label_fields<Tin>()) fields.push_back(std::move(field));
  return mended(Tin::read(target.body), target.body, "tin", fields, set);
}

Json mend_product(const book::Effective& target, const std::vector<std::string>& set) {
  std::vector<Field<Product>> fields{text("name", &Product::name, longest_name),
                                     text("supplier", &Product::supplier, longest_name),
                                     quantity("from", &Product::valid_from, parse_day),
                                     {"kind", lay_kind<Product>}};
  for (Field<Product>& field : label_fields<Product>()) fields.push_back(std::move(field));
  return mended(Product::read(target.body), target.body, "product", fields, set);
}

Json mend_wood(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<WoodLot>> fields{
      text("supplier", &WoodLot::supplier, longest_name),
      text("lot", &WoodLot::lot, longest_name),
      text("origin", &WoodLot::origin),
      choice("dried", &WoodLot::dried, {"kiln", "air"}),
      choice("mark", &WoodLot::mark, ispm_marks()),
      flag("reclaimed", &WoodLot::reclaimed),
      flag("from-customer", &WoodLot::from_customer),
      quantity("moisture", &WoodLot::moisture, parse_moisture),
      quantity("treated", &WoodLot::treated, yes),
      {"species", [&call](WoodLot& lot, const std::string& typed) {
         const auto species = find_species(call.book(), typed);
         if (!species)
           Call::check_known(typed, "Species", ids_of(reference::species()), from_species);
         lot.species = species->id;
         lot.common_name = species->common_name;
         lot.botanical_name = species->botanical_name;
       }}};
  Json out = mended(WoodLot::read(target.body), target.body, "wood lot", fields, set);
  const WoodLot lot = WoodLot::read(out);
  if (!lot.mark.empty() && !lot.reclaimed)
    throw Error::request(fmt::format("mark={} goes with reclaimed=yes.", lot.mark));
  return out;
}

Json mend_statement(Call& call, const book::Effective& target,
                    const std::vector<std::string>& set) {
  const std::vector<Field<Statement>> fields{
      choice("about", &Statement::about, paper_topics()),
      choice("market", &Statement::market, markets()),
      allergen_ids("contains", &Statement::contains),
      allergen_ids("declares-none", &Statement::declares_none),
      flag("complete", &Statement::complete),
      quantity("dated", &Statement::dated, parse_day),
      quantity("valid-until", &Statement::valid_until, parse_day),
      {"reference",
       [](Statement& statement, const std::string& typed) {
         statement.reference = typed.empty() ? "" : checked_text(typed, "reference");
       }},
      {"version", [](Statement& statement, const std::string& typed) {
         statement.version = static_cast<int>(parse_count(typed, "version", 1, 9999));
       }}};
  Json out = mended(Statement::read(target.body), target.body, "statement", fields, set);
  demand_consistent(call, Statement::read(out));
  return out;
}

Json mend_species(const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Species>> fields{
      text("common", &Species::common_name),
      text("botanical", &Species::botanical_name),
      choice("group", &Species::group, {"hardwood", "softwood", "grass"}),
      choice("pore", &Species::pore, {"diffuse", "semi-ring", "ring", "nonporous"}),
      text("health", &Species::health_note),
      text("health-source", &Species::health_source),
      text("nut-family", &Species::nut_family),
      flag("toxic", &Species::toxic),
      flag("sensitiser", &Species::sensitiser),
      flag("oily", &Species::oily)};
  return mended(species_from_json(target.body), target.body, "species", fields, set);
}

}  // namespace

std::optional<Json> corrected_stock(Call& call, const book::Effective& target,
                                    const std::vector<std::string>& set) {
  const std::string& kind = target.entry.kind;
  if (kind == "tin") return mend_tin(target, set);
  if (kind == "mix") return mend_mix(call, target, set);
  if (kind == "product") return mend_product(target, set);
  if (kind == "wood") return mend_wood(call, target, set);
  if (kind == "species") return mend_species(target, set);
  if (kind == "statement") return mend_statement(call, target, set);
  return {};
}

}  // namespace trencher::commands
