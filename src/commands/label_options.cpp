#include "commands/label_options.h"

#include <fmt/format.h>

#include "domain/error.h"

namespace trencher::commands {
namespace {

void lay(std::optional<Figure>& figure, const std::string& typed, const char* name) {
  if (!typed.empty()) figure = Figure{parse_duration(typed, name).count(), false};
}

}  // namespace

Seconds parse_life(const std::string& typed, const std::string& what) {
  for (const auto& [unit, days] : {std::pair{"mo", 30}, std::pair{"y", 365}})
    if (typed.ends_with(unit))
      return std::chrono::days(
          days *
          parse_count(typed.substr(0, typed.size() - std::string(unit).size()), what, 1, 600));
  return parse_duration(typed, what);
}

void LabelOptions::declare_finish(Call& call) {
  call.option("--coats", "N", coats_, "coats that the label asks for");
  call.option("--recoat-after", "WAIT", recoat_after_,
              "label's shortest wait between coats, as 24h");
  call.option("--recoat-before", "WAIT", recoat_before_,
              "label's longest wait, after which to scuff");
  call.option("--handle-after", "WAIT", handle_, "label's wait until pieces may be handled");
  call.option("--pack-after", "WAIT", pack_, "label's wait until pieces may be packed");
  call.option("--food-contact-after", "WAIT", food_contact_,
              "label's wait to food contact, as 30d");
  call.option("--coverage", "AREA", coverage_, "what the label says a litre covers, as 12m2/l");
  call.option("--highest-rh", "PERCENT", highest_, "label's highest humidity for putting it on");
  declare_limits(call);
}

void LabelOptions::declare_glue(Call& call) {
  call.option("--clamp", "WAIT", clamp_, "label's time in clamps, as 1h");
  call.option("--full-cure", "WAIT", full_cure_, "label's time to full strength, as 24h");
  declare_limits(call);
}

void LabelOptions::declare_other(Call& call) {
  call.option("--full-cure", "WAIT", full_cure_, "label's time until it has fully set or dried");
  declare_limits(call);
}

void LabelOptions::declare(Call& call, const std::string& stock) {
  if (stock == "glue")
    declare_glue(call);
  else if (stock == "finish")
    declare_finish(call);
  else
    declare_other(call);
}

void LabelOptions::declare_limits(Call& call) {
  call.option("--opened-life", "TIME", opened_life_,
              "how long it keeps once opened, as 30d, 6mo (of 30 days) or 1y");
  call.option("--pot-life", "TIME", pot_life_, "how long it can be used once mixed, as 40min");
  call.option("--label-temp", "TEMPERATURE", temp_,
              "the temperature that the label's waits hold at");
  call.option("--label-rh", "PERCENT", rh_, "the humidity that the label's waits hold at");
  call.option("--lowest-temp", "TEMPERATURE", lowest_, "label's lowest temperature for using it");
}

void LabelOptions::apply(Label& label) const {
  lay(label.recoat_min, recoat_after_, "--recoat-after");
  lay(label.recoat_max, recoat_before_, "--recoat-before");
  lay(label.handle, handle_, "--handle-after");
  lay(label.pack, pack_, "--pack-after");
  lay(label.food_contact, food_contact_, "--food-contact-after");
  lay(label.clamp, clamp_, "--clamp");
  lay(label.full_cure, full_cure_, "--full-cure");
  if (!coats_.empty()) label.coats = Figure{parse_count(coats_, "--coats", 1, 50), false};
  if (!coverage_.empty())
    label.coverage = Figure{parse_coverage(coverage_, "--coverage").cm2_per_l, false};
  if (!temp_.empty())
    label.reference_temp = Figure{parse_temperature(temp_, "--label-temp").milli, false};
  if (!rh_.empty()) label.reference_rh = Figure{parse_humidity(rh_, "--label-rh").permille, false};
  if (!lowest_.empty())
    label.lowest_temp = Figure{parse_temperature(lowest_, "--lowest-temp").milli, false};
  if (!highest_.empty())
    label.highest_rh = Figure{parse_humidity(highest_, "--highest-rh").permille, false};
  if (!opened_life_.empty())
    label.opened_life = Figure{parse_life(opened_life_, "--opened-life").count(), false};
  lay(label.pot_life, pot_life_, "--pot-life");
  drop_senseless_window(label);
  if (label.recoat_min && label.recoat_max && label.recoat_max->value < label.recoat_min->value)
    throw Error::request(fmt::format(
        "The longest wait between coats ({}) is shorter than the shortest ({}).",
        show(Seconds(label.recoat_max->value)), show(Seconds(label.recoat_min->value))));
}

}  // namespace trencher::commands
