#include <fmt/format.h>

#include <algorithm>

#include "commands/command.h"
#include "commands/lookup.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

// In the words by which 'trencher finishes' says how a kind sets.
std::string slot_text(const std::vector<Mechanism>& fits) {
  std::vector<std::string> out;
  for (const Mechanism mechanism : fits) out.push_back(mechanism_text(mechanism, false));
  return join(out, "; or ");
}

// "coat (finish 1), as many coats as the label says; 6 min a board each time."
std::string step_text(const ScheduleStep& step, std::size_t slots) {
  std::string out = step.step;
  bool often = step.count.value_or(1) > 1;
  if (step.slot && slots > 1) out += fmt::format(" (finish {})", step.slot);
  std::vector<std::string> grits;
  for (const int grit : step.grits) grits.push_back(std::to_string(grit));
  if (!grits.empty()) out += fmt::format(" with grit {}", join(grits, ", "));
  if (step.step == "coat" && !step.count) {
    out += ", as many coats as the label says";
    often = true;
  } else if (step.step == "scuff" && step.slot) {
    out += ", between its coats";
    often = true;
  } else if (step.count) {
    out += step.step == "coat" ? ", " + count_of(*step.count, "coat")
           : often             ? fmt::format(", {} times", *step.count)
                               : ", once";
  }
  if (step.minutes)
    out += fmt::format("; {} min a board{}", *step.minutes, often ? " each time" : "");
  return out + "." + (step.note.empty() ? "" : " " + step.note);
}

Json step_json(const ScheduleStep& step) {
  Json out = Json::object();
  out.set("step", step.step).set("grits", Json::list(step.grits));
  out.set_or_null("slot", step.slot ? Json(step.slot) : Json());
  out.set_or_null("count", Json(step.count)).set_or_null("minutes", Json(step.minutes));
  return out.set("note", step.note).set("source", step.source).set("standing", step.standing);
}

Sheet sheet_of(const Schedule& schedule) {
  Sheet out{schedule.id, schedule.name};
  out.json = to_json(schedule);
  out.json.set("when_to_use", schedule.when_to_use);
  Json steps = Json::array();
  out.line("When", schedule.when_to_use);
  for (std::size_t i = 0; i < schedule.slots.size(); ++i)
    out.line(fmt::format("Finish {}", i + 1), slot_text(schedule.slots[i]));
  std::vector<std::string> sources;
  int number = 0;
  for (const ScheduleStep& step : schedule.steps) {
    steps.push(step_json(step));
    out.line(fmt::format("Step {}", ++number), step_text(step, schedule.slots.size()));
    if (std::find(sources.begin(), sources.end(), step.source) == sources.end())
      sources.push_back(step.source);
  }
  out.json.set("steps", std::move(steps));
  return out.line("Sources", join(sources, "; "));
}

}  // namespace

int schedules(Call& call) {
  const std::string id = parse_lookup(call, "way of finishing, as hardening-oil");
  std::vector<Sheet> sheets;
  for (const Schedule& schedule : reference::schedules()) sheets.push_back(sheet_of(schedule));
  return look_up(call, {"Schedule", {"Schedule", "Way of finishing"}}, sheets, id);
}

}  // namespace trencher::commands
