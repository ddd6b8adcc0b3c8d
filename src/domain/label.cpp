#include "domain/label.h"

#include <fmt/format.h>

#include <array>

#include "domain/error.h"

namespace trencher {
namespace {

using Field = std::optional<Figure> Label::*;
constexpr std::array<std::pair<const char*, Field>, 16> fields{{
    {"recoat_min_s", &Label::recoat_min},
    {"recoat_max_s", &Label::recoat_max},
    {"handle_s", &Label::handle},
    {"pack_s", &Label::pack},
    {"food_contact_s", &Label::food_contact},
    {"clamp_s", &Label::clamp},
    {"full_cure_s", &Label::full_cure},
    {"open_s", &Label::open},
    {"coats", &Label::coats},
    {"coverage_cm2_per_l", &Label::coverage},
    {"reference_mc", &Label::reference_temp},
    {"lowest_mc", &Label::lowest_temp},
    {"reference_permille", &Label::reference_rh},
    {"highest_permille", &Label::highest_rh},
    {"opened_life_s", &Label::opened_life},
    {"pot_life_s", &Label::pot_life},
}};

std::optional<Figure> usual(const std::optional<int>& v) {
  return v ? std::optional(Figure{*v, true}) : std::nullopt;
}
std::optional<Figure> usual(const std::optional<Seconds>& v) {
  return v ? std::optional(Figure{v->count(), true}) : std::nullopt;
}
std::optional<Figure> usual(const std::optional<Celsius>& v) {
  return v ? std::optional(Figure{v->milli, true}) : std::nullopt;
}
std::optional<Figure> usual(const std::optional<Percent>& v) {
  return v ? std::optional(Figure{v->permille, true}) : std::nullopt;
}
std::optional<Figure> usual(const std::optional<Coverage>& v) {
  return v ? std::optional(Figure{v->cm2_per_l, true}) : std::nullopt;
}

// What the kinds have in common: how they set, and where their waits hold.
template <typename Kind>
Label usual_conditions(const Kind& kind) {
  Label out;
  out.mechanism = kind.mechanism;
  out.reference_temp = usual(kind.reference_temp);
  out.lowest_temp = usual(kind.lowest_temp);
  out.reference_rh = usual(kind.reference_rh);
  out.basis = kind.basis;
  return out;
}

}  // namespace

Json Label::json() const {
  Json out = Json::object();
  out.set("mechanism", to_string(mechanism));
  if (water_borne) out.set("water_borne", true);
  for (const auto& [name, field] : fields)
    if (const auto& figure = this->*field) {
      Json pair = Json::object();
      pair.set("value", figure->value).set("from", figure->usual ? "usual" : "label");
      out.set(name, std::move(pair));
    }
  if (!basis.empty()) out.set("basis", basis);
  return out;
}

Label Label::read(const Json& json) {
  Label out;
  out.mechanism = parse_mechanism(json.text("mechanism"));
  out.water_borne = json.flag("water_borne");
  for (const auto& [name, field] : fields)
    if (const Json* pair = json.find(name)) {
      // A guess must never pass for what the label says.
      const std::string& from = pair->text("from");
      if (from != "usual" && from != "label")
        throw Error::book(
            fmt::format("A figure of the book is from '{}', neither label nor usual.", from));
      out.*field = Figure{pair->integer("value"), from == "usual"};
    }
  out.basis = json.maybe_text("basis").value_or("");
  return out;
}

void drop_senseless_window(Label& label) {
  if (label.recoat_min && label.recoat_max && label.recoat_max->usual &&
      label.recoat_max->value < label.recoat_min->value)
    label.recoat_max.reset();
}

Label overlay(const Label& own, Label base) {
  for (const auto& [name, field] : fields)
    if (const auto& figure = own.*field; figure && (!figure->usual || !(base.*field)))
      base.*field = figure;
  drop_senseless_window(base);
  return base;
}

Label usual_label(const FinishKind& kind) {
  Label out = usual_conditions(kind);
  out.water_borne = kind.water_borne;
  out.coats = usual(kind.coats);
  out.recoat_min = usual(kind.recoat_min);
  out.recoat_max = usual(kind.recoat_max);
  out.handle = usual(kind.handle);
  out.pack = usual(kind.pack);
  out.food_contact = usual(kind.food_contact);
  out.coverage = usual(kind.coverage);
  out.highest_rh = usual(kind.highest_rh);
  return out;
}

Label usual_label(const GlueKind& kind) {
  Label out = usual_conditions(kind);
  out.clamp = usual(kind.clamp);
  out.full_cure = usual(kind.full_cure);
  out.open = usual(kind.open);
  return out;
}

Label usual_label(const OtherKind& kind) {
  Label out = usual_conditions(kind);
  out.full_cure = usual(kind.full_cure);
  return out;
}

}  // namespace trencher
