#include <fmt/format.h>

#include "commands/cautions.h"
#include "commands/command.h"
#include "commands/lookup.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

Json json_of(const FinishKind& kind) {
  Json out = Json::object();
  out.set("id", kind.id).set("name", kind.name).set("mechanism", to_string(kind.mechanism));
  out.set("water_borne", kind.water_borne).set("ingredients", Json::list(kind.ingredients));
  out.set_or_null("coats", Json(kind.coats))
      .set_or_null("recoat_min_s", seconds_json(kind.recoat_min));
  out.set_or_null("recoat_max_s", seconds_json(kind.recoat_max));
  out.set_or_null("handle_s", seconds_json(kind.handle))
      .set_or_null("pack_s", seconds_json(kind.pack));
  out.set_or_null("food_contact_s", seconds_json(kind.food_contact));
  out.set_or_null("coverage_cm2_per_l", kind.coverage ? Json(kind.coverage->cm2_per_l) : Json());
  out.set_or_null("reference_temp_c", celsius_json(kind.reference_temp));
  out.set_or_null("reference_rh_pct", percent_json(kind.reference_rh));
  out.set_or_null("lowest_temp_c", celsius_json(kind.lowest_temp));
  out.set_or_null("highest_rh_pct", percent_json(kind.highest_rh));
  out.set("self_heating_rags", kind.self_heating_rags).set("solvent", kind.solvent);
  out.set("contains", Json::list(kind.contains)).set("animal_origin", kind.animal_origin);
  out.set("on_cutting_surface", kind.on_cutting_surface);
  out.set_or_null("reoil_months", Json(kind.reoil_months)).set("us_status", kind.us_status);
  out.set("notes", kind.notes).set("basis", kind.basis);
  return out.set("standing", kind.standing);
}

std::string coverage_text(const std::optional<Coverage>& value) {
  return value ? fmt::format("{} ({}) in one coat", show(*value, Units::metric),
                             show(*value, Units::us))
               : "";
}

Sheet sheet_of(const FinishKind& kind) {
  Sheet out{kind.id, kind.name};
  out.json = json_of(kind);
  out.cautions = finish_cautions(kind);
  out.line("How it sets", mechanism_text(kind.mechanism, kind.water_borne));
  out.line("Made of", join(kind.ingredients, "; ")).line("Solvent", kind.solvent);
  out.line("Usual coats", kind.coats ? std::to_string(*kind.coats) : "");
  out.line("Next coat after", wait_text(kind.recoat_min));
  out.line("Scuff first after", wait_text(kind.recoat_max));
  out.line("Handle after", wait_text(kind.handle)).line("Pack after", wait_text(kind.pack));
  out.line("Food contact after", wait_text(kind.food_contact));
  out.line("Waits hold at", reference_text(kind.reference_temp, kind.reference_rh));
  out.line("Not put on below", both(kind.lowest_temp));
  out.line("Not put on above", kind.highest_rh ? show(*kind.highest_rh) + " humidity" : "");
  out.line("Coverage", coverage_text(kind.coverage));
  out.line("Contains", contents_text(kind.contains, kind.animal_origin));
  out.line("Face cut on", kind.on_cutting_surface + " (a judgement of this program)");
  out.line("Renew every", kind.reoil_months ? count_of(*kind.reoil_months, "month") : "");
  out.line("US rules", kind.us_status).line("Notes", kind.notes);
  out.line("Basis", kind.basis).line("Standing", standing_text(kind.standing));
  return out;
}

}  // namespace

int finishes(Call& call) {
  const std::string id = parse_lookup(call, "kind of finish, as pure-tung-oil");
  std::vector<Sheet> sheets;
  for (const FinishKind& kind : reference::finishes()) sheets.push_back(sheet_of(kind));
  return look_up(call, {"Kind of finish", {"Finish", "Name"}}, sheets, id);
}

}  // namespace trencher::commands
