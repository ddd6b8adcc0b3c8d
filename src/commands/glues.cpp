#include "commands/cautions.h"
#include "commands/command.h"
#include "commands/lookup.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

Json json_of(const GlueKind& kind) {
  Json out = kind_json(kind);
  out.set("en204_class", kind.en204_class).set("hp1_type", kind.hp1_type);
  out.set_or_null("open_s", seconds_json(kind.open))
      .set_or_null("clamp_s", seconds_json(kind.clamp));
  return out.set_or_null("full_cure_s", seconds_json(kind.full_cure)).set("wet_use", kind.wet_use);
}

Sheet sheet_of(const GlueKind& kind) {
  Sheet out{kind.id, kind.name};
  out.json = json_of(kind);
  out.cautions = glue_cautions(kind);
  out.line("How it sets", mechanism_text(kind.mechanism, true));
  out.line("Class, EN 204", kind.en204_class).line("Type, HP-1", kind.hp1_type);
  out.line("Close the joint in", wait_text(kind.open))
      .line("Clamps off after", wait_text(kind.clamp));
  out.line("Full cure after", wait_text(kind.full_cure));
  out.line("Waits hold at", reference_text(kind.reference_temp, kind.reference_rh));
  out.line("Not spread below", both(kind.lowest_temp));
  out.line("Washed boards", kind.wet_use + " (a judgement of this program)");
  return kind_lines(out, kind);
}

}  // namespace

int glues(Call& call) {
  const std::string id = parse_lookup(call, "kind of glue, as pva-d3");
  std::vector<Sheet> sheets;
  for (const GlueKind& kind : reference::glues()) sheets.push_back(sheet_of(kind));
  return look_up(call, {"Kind of glue", {"Glue", "Name"}}, sheets, id);
}

}  // namespace trencher::commands
