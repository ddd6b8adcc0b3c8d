#include "commands/cautions.h"
#include "commands/command.h"
#include "commands/lookup.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

Json json_of(const OtherKind& kind) {
  Json out = kind_json(kind);
  out.set("role", kind.role).set_or_null("full_cure_s", seconds_json(kind.full_cure));
  return out.set("stays", kind.stays).set("on_food_face", kind.on_food_face);
}

Sheet sheet_of(const OtherKind& kind) {
  Sheet out{kind.id, kind.name, kind.role};
  out.json = json_of(kind);
  out.cautions = other_cautions(kind);
  out.line("Is used as", kind.role).line("How it sets", mechanism_text(kind.mechanism, false));
  out.line("Cured or dry after", wait_text(kind.full_cure));
  out.line("Wait holds at", reference_text(kind.reference_temp, kind.reference_rh));
  out.line("Not used below", both(kind.lowest_temp));
  out.line("Stays in the board", yes_no(kind.stays));
  out.line("Face for food", kind.on_food_face + " (a judgement of this program)");
  return kind_lines(out, kind);
}

}  // namespace

int others(Call& call) {
  const std::string id =
      parse_lookup(call, "kind of filler, feet, inlay and the like, as wax-stick");
  std::vector<Sheet> sheets;
  for (const OtherKind& kind : reference::others()) sheets.push_back(sheet_of(kind));
  return look_up(call, {"Kind of other", {"Other", "Used as", "Name"}}, sheets, id);
}

}  // namespace trencher::commands
