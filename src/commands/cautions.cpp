#include "commands/cautions.h"

#include <fmt/format.h>

#include <algorithm>

namespace trencher::commands {
namespace {

bool holds(const std::vector<std::string>& ids, std::string_view id) {
  return std::find(ids.begin(), ids.end(), id) != ids.end();
}

}  // namespace

std::string rag_caution(const std::string& finish_name) {
  return fmt::format(
      "Rags, pads and gloves with {} can catch fire by themselves within hours. Now: spread them "
      "flat "
      "outside, or put them under water in a metal can with a lid. Never leave them in a heap or "
      "in "
      "the shop. Then confirm with 'trencher log rags-done'.",
      finish_name);
}

std::string dust_caution() {
  return "Wood dust harms the airways and is rated a cause of cancer (IARC, group 1): dust "
         "extraction "
         "at the tool, a mask that fits, no blowing down.";
}

std::string label_first() {
  return "Read the label and keep the safety data sheet; waits that the label states replace the "
         "usual "
         "ones used here.";
}

std::vector<std::string> finish_cautions(const FinishKind& kind) {
  std::vector<std::string> out;
  if (kind.self_heating_rags) out.push_back(rag_caution(kind.name));
  if (!kind.solvent.empty() && kind.solvent != "none" && !kind.solvent.starts_with("water"))
    out.push_back(
        "Solvent vapour burns and harms: fresh air, no flame, pilot light or spark, gloves, "
        "and the mask that the safety data sheet names.");
  if (kind.mechanism == Mechanism::two_part)
    out.push_back(
        "Uncured resin and hardener can make the skin allergic for life: gloves, and the exact "
        "ratio well mixed; no waiting mends a wrong one.");
  return out;
}

namespace {

std::vector<std::string> cautions_of(const std::vector<std::string>& contains) {
  std::vector<std::string> out;
  if (holds(contains, "isocyanate"))
    out.push_back(
        "Isocyanate in this glue can cause asthma and skin allergy: gloves, fresh air, no "
        "sanding before it has fully cured.");
  if (holds(contains, "epoxy"))
    out.push_back(
        "Uncured epoxy can make the skin allergic for life: gloves, no sanding before full "
        "cure.");
  if (holds(contains, "formaldehyde"))
    out.push_back("This glue gives off formaldehyde while it sets: fresh air.");
  return out;
}

}  // namespace

std::vector<std::string> glue_cautions(const GlueKind& kind) { return cautions_of(kind.contains); }

std::vector<std::string> other_cautions(const OtherKind& kind) {
  std::vector<std::string> out = cautions_of(kind.contains);
  if (kind.mechanism == Mechanism::solvent_evaporation)
    out.push_back(
        "Solvent vapour burns and harms: fresh air, no flame, pilot light or spark, gloves, "
        "and the mask that the safety data sheet names.");
  return out;
}

}  // namespace trencher::commands
