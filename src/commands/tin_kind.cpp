#include "commands/tin_kind.h"

#include "commands/call.h"
#include "commands/choices.h"
#include "reference/reference.h"

namespace trencher::commands {
TinKind need_tin_kind(const std::string& stock, const std::string& kind) {
  if (stock == "glue") {
    Call::check_known(kind, "Kind of glue", ids_of(reference::glues()),
                      {{}, "'trencher glues' lists them"});
    const GlueKind& of = *reference::find_glue(kind);
    return {of.name, usual_label(of), of.contains, of.animal_origin, glue_cautions(of)};
  }
  if (stock == "other") {
    Call::check_known(kind, "Kind of other", ids_of(reference::others()),
                      {{}, "'trencher others' lists them"});
    const OtherKind& of = *reference::find_other(kind);
    return {of.name, usual_label(of), of.contains, of.animal_origin, other_cautions(of)};
  }
  Call::check_known(kind, "Kind of finish", ids_of(reference::finishes()),
                    {{}, "'trencher finishes' lists them"});
  const FinishKind& of = *reference::find_finish(kind);
  return {of.name, usual_label(of), of.contains, of.animal_origin, finish_cautions(of)};
}

}  // namespace trencher::commands
