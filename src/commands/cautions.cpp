#include "commands/cautions.h"

#include <fmt/format.h>

#include <algorithm>

namespace trencher::commands {
namespace {

bool holds(const std::vector<std::string>& ids, std::string_view id) {
  return std::find(ids.begin(), ids.end(), id) != ids.end();
}

Caution solvent_caution() {
  return {
      "Solvent vapour burns and harms: fresh air, no flame, pilot light or spark, gloves, and the "
      "mask that the safety data sheet names.",
      "NFPA on oily rags names lacquers, thinners and stains, read; gloves and mask are common "
      "practice, the sheet rules"};
}

// Of what a glue, filler or the like holds.
std::vector<Caution> cautions_of(const std::vector<std::string>& contains) {
  std::vector<Caution> out;
  if (holds(contains, "isocyanate"))
    out.push_back(
        {"Isocyanate in this glue can cause asthma and skin allergy: gloves, fresh air, no sanding "
         "before it has fully cured. In the Union whoever works with it by trade is trained first.",
         "UK Health and Safety Executive, RR1199, summary read; REACH Annex XVII entry 74, notices "
         "read; sanding: common practice"});
  if (holds(contains, "epoxy"))
    out.push_back(
        {"Uncured epoxy can make the skin allergic for life: gloves, no sanding before full cure.",
         "UK Health and Safety Executive, RR79, summary read; OSHwiki on epoxy resins, read in "
         "part; sanding: common practice"});
  if (holds(contains, "formaldehyde"))
    out.push_back({"This glue gives off formaldehyde while it sets: fresh air.",
                   "IARC volume 100F, from memory"});
  return out;
}

}  // namespace

Caution rag_caution(const std::string& finish_name) {
  return {fmt::format(
              "Rags, scuffing pads, gloves and uncured dust with {} can catch fire by themselves "
              "within hours. Now: spread them flat outside, or put them under water in a metal can "
              "with a lid. Never leave them in a heap, in the shop or in the garage. Then confirm "
              "with 'trencher log rags-done'.",
              finish_name),
          "NFPA, safety tip sheet on oily rags, read as reprinted; Harvard fabrication laboratory "
          "and three insurers' and councils' sheets, read",
          true};
}

Caution dust_caution() {
  return {
      "Wood dust harms the airways and is rated a cause of cancer (IARC, group 1): dust extraction "
      "at the tool, a mask that fits, no blowing down.",
      "IARC Monograph 62 (1995), read; volume 100C, scope read"};
}

Caution label_first() {
  return {
      "Read the label and keep the safety data sheet; waits that the label states replace the "
      "usual ones used here.",
      "ours"};
}

std::vector<Caution> finish_cautions(const FinishKind& kind) {
  std::vector<Caution> out;
  if (kind.self_heating_rags) out.push_back(rag_caution(kind.name));
  if (!kind.solvent.empty() && kind.solvent != "none" && !kind.solvent.starts_with("water"))
    out.push_back(solvent_caution());
  if (kind.mechanism == Mechanism::two_part)
    out.push_back(
        {"Uncured resin and hardener can make the skin allergic for life: gloves, and the exact "
         "ratio well mixed; no waiting mends a wrong one.",
         "UK Health and Safety Executive, RR79, summary read; the ratio: common practice"});
  return out;
}

std::vector<Caution> glue_cautions(const GlueKind& kind) { return cautions_of(kind.contains); }

std::vector<Caution> other_cautions(const OtherKind& kind) {
  std::vector<Caution> out = cautions_of(kind.contains);
  if (kind.mechanism == Mechanism::solvent_evaporation) out.push_back(solvent_caution());
  return out;
}

std::vector<Caution> work_cautions(const BatchView& view) {
  std::vector<Caution> out{dust_caution()};
  const auto add = [&](const std::vector<Caution>& some) {
    for (const Caution& one : some)
      if (std::find(out.begin(), out.end(), one) == out.end()) out.push_back(one);
  };
  for (const auto& [id, tin] : view.facts.work.tins) {
    if (const auto kind = view.facts.finish_kinds.find(tin.kind);
        tin.stock == "finish" && kind != view.facts.finish_kinds.end())
      add(finish_cautions(kind->second));
    if (const auto kind = view.facts.glue_kinds.find(tin.kind);
        tin.stock == "glue" && kind != view.facts.glue_kinds.end())
      add(glue_cautions(kind->second));
    if (const auto kind = view.facts.other_kinds.find(tin.kind);
        tin.stock == "other" && kind != view.facts.other_kinds.end())
      add(other_cautions(kind->second));
  }
  return out;
}

}  // namespace trencher::commands
