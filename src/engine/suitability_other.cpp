// Fillers, feet, cords, inlays, wipes and the like: where they may lie, their papers, their cure.
#include <fmt/format.h>

#include <algorithm>

#include "engine/mix.h"
#include "engine/suitability_checks.h"

namespace trencher::engine::checks {
namespace {

constexpr const char* line_is_ours = "common practice, no source; where the line lies is ours";

bool any_of(const std::string& value, std::initializer_list<const char*> list) {
  return std::find(list.begin(), list.end(), value) != list.end();
}

// Feet, cords and hardware belong off the face that food touches; where they sit is not recorded.
bool belongs_off_the_face(const OtherKind& kind) {
  return any_of(kind.role, {"feet", "cord", "hardware"});
}

bool may_come_loose(const OtherKind& kind) {
  return belongs_off_the_face(kind) || any_of(kind.role, {"inlay", "plug"});
}

struct Verdict {
  Result result = Result::not_known;
  const char* words = "";
};

Verdict on_toy(const OtherKind& kind) {
  if (may_come_loose(kind))
    return {Result::caution,
            "can come loose from a toy, and a small part can be swallowed: look it up in the toy "
            "rules of the market"};
  if (kind.on_food_face == "fine") return {Result::fine, "is of a kind that is used on toys"};
  return {Result::caution,
          "on a toy gets into the mouth: look it up in the toy rules of the market"};
}

Verdict on_board(const OtherKind& kind, const std::string& use) {
  if (kind.on_food_face == "fine")
    return {Result::fine, "is of a kind that is used on such boards"};
  if (belongs_off_the_face(kind))
    return {Result::caution,
            "belongs off the face that food or a knife touches, and the record does not tell where "
            "it sits"};
  if (kind.on_food_face == "caution")
    return {Result::caution, "asks for care on a face that food or a knife touches"};
  // A serving board has rims and a back that neither food nor a knife need touch.
  return {use == "serving-board" ? Result::caution : Result::stop,
          "is to be kept off a face that food or a knife touches"};
}

// Each once, also those that went into a mix, whatever stock the mix is.
std::vector<const Tin*> others_drawn(const BatchWork& work) {
  std::vector<const Tin*> out;
  for (const Step& step : work.steps)
    for (const Drawn& drawn : step.drawn)
      for (const Tin* tin : sources(work.tins, drawn.tin))
        if (tin->stock == "other" && std::find(out.begin(), out.end(), tin) == out.end())
          out.push_back(tin);
  return out;
}

void judge_use(const SuitabilityFacts& facts, const Tin& tin, Report& report) {
  const auto found = facts.other_kinds.find(tin.kind);
  if (found == facts.other_kinds.end())
    return report.add("other-on-use", Result::not_known, unknown_kind(tin), ours);
  const OtherKind& kind = found->second;
  const std::string& use = facts.work.batch.use;
  const Verdict verdict = use == "toy" ? on_toy(kind) : on_board(kind, use);
  const bool explain = verdict.result != Result::fine && !kind.notes.empty();
  report.add("other-on-use", verdict.result,
             fmt::format("{} ({}) {}.{}", name_of(tin), kind.name, verdict.words,
                         explain ? " " + kind.notes : ""),
             line_is_ours);
}

void judge_cure(const Tin& tin, Report& report) {
  if (tin.label.mechanism == Mechanism::none || tin.label.mechanism == Mechanism::non_drying)
    return;
  const auto& cure = tin.label.full_cure;
  const std::string basis = tin.label.basis.empty() ? practice : tin.label.basis;
  if (!cure)
    return report.add(
        "other-cure", Result::not_known,
        fmt::format("No figure says when {} has cured or dried: ask its maker.", name_of(tin)),
        basis);
  const std::string wait = show(Seconds{cure->value});
  if (cure->usual)
    report.add("other-cure", Result::caution,
               fmt::format("The label of {} as entered does not give the full cure, so the longest "
                           "of the usual range counts: {}.",
                           name_of(tin), wait),
               basis);
  else
    report.add("other-cure", Result::fine,
               fmt::format("The full cure of {}, {}, is from its label.", name_of(tin), wait),
               fmt::format("entry {}", tin.entry));
}

}  // namespace

void judge_others(const SuitabilityFacts& facts, std::vector<Finding>& out) {
  for (const Tin* tin : others_drawn(facts.work)) {
    Report report(tin->id, out);
    judge_use(facts, *tin, report);
    judge_food_statement("other-statement", facts, *tin, report);
    judge_cure(*tin, report);
  }
  for (const Step& step : facts.work.steps)
    if (step.kind == "fit" && step.drawn.empty())
      Report(fmt::format("entry {}", step.entry), out)
          .add("part-named", Result::not_known,
               fmt::format("{} was fitted and no tin is named, so no papers are held for it.",
                           step.text.empty() ? "A part" : "'" + step.text + "'"),
               ours);
}

}  // namespace trencher::engine::checks
