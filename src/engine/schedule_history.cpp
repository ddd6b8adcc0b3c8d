#include "engine/schedule_history.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace trencher::engine {
namespace {

std::vector<Use> uses_of(const Step& step, const std::vector<std::string>& tins) {
  std::vector<Use> out;
  for (const std::string& tin : tins) out.push_back({step.entry, step.at.at, tin, {}});
  return out;
}

void append(std::vector<Use>& list, const std::vector<Use>& more) {
  list.insert(list.end(), more.begin(), more.end());
}

}  // namespace

PieceHistory::PieceHistory(const BatchWork& work, const std::vector<const Step*>& steps)
    : work_(work) {
  make_plan();
  for (const Step* step : steps) log(*step);
}

void PieceHistory::make_plan() {
  const auto& steps = work_.batch.schedule.steps;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (steps[i].step != "coat") continue;
    const int count = steps[i].count ? *steps[i].count : coats_by_label(steps[i].slot);
    plan_.insert(plan_.end(), static_cast<std::size_t>(std::max(count, 0)),
                 PlannedCoat{steps[i].slot, i});
  }
}

int PieceHistory::coats_by_label(int slot) {
  const auto tin = work_.tins.find(tin_of(slot));
  const auto figure = tin == work_.tins.end() ? std::nullopt : tin->second.label.coats;
  if (figure && !figure->usual) return static_cast<int>(figure->value);
  const auto count = figure ? figure->value : 1;
  add_new(usual_counts_,
          figure ? fmt::format("the label gives no number of coats: the usual {} is planned", count)
                 : std::string("no number of coats is known: one is planned"));
  return static_cast<int>(count);
}

void PieceHistory::log(const Step& step) {
  std::vector<std::string> drawn, glue;
  for (const Drawn& part : step.drawn) {
    drawn.push_back(part.tin);
    const auto tin = work_.tins.find(part.tin);
    if (tin != work_.tins.end() && tin->second.stock == "glue") glue.push_back(part.tin);
  }
  if (step.kind == "coat") {
    since_coat_.clear();
    const int slot = take_from_plan(drawn);
    if (drawn.empty()) drawn.push_back(tin_of(slot));
    coats_.push_back(uses_of(step, drawn));
    return;
  }
  if (step.result != "not-sound") ++since_coat_[step.kind];
  if (step.kind == "glue-up")
    append(glue_ups_, uses_of(step, drawn.empty() ? work_.batch.glue : drawn));
  if (step.kind == "fit") append(fitted_glue_, uses_of(step, glue));
}

// The slot whose coat this is: the next in the plan, unless it was drawn from another slot's tin.
int PieceHistory::take_from_plan(const std::vector<std::string>& drawn) {
  const auto rest = to_come();
  int slot = rest.empty() ? 1 : rest.front().slot;
  const auto holds = [&](int candidate) {
    return std::find(drawn.begin(), drawn.end(), tin_of(candidate)) != drawn.end();
  };
  if (!holds(slot))
    for (int other = static_cast<int>(work_.batch.finish.size()); other >= 1; --other)
      if (holds(other)) slot = other;
  for (PlannedCoat& coat : plan_)
    if (!coat.done && coat.slot == slot) {
      coat.done = true;
      break;
    }
  return slot;
}

std::vector<PlannedCoat> PieceHistory::to_come() const {
  std::vector<PlannedCoat> out;
  std::copy_if(plan_.begin(), plan_.end(), std::back_inserter(out),
               [](const PlannedCoat& coat) { return !coat.done; });
  return out;
}

std::string PieceHistory::tin_of(int slot) const {
  const auto& finish = work_.batch.finish;
  return slot >= 1 && slot <= static_cast<int>(finish.size())
             ? finish[static_cast<std::size_t>(slot - 1)]
             : std::string();
}

int PieceHistory::since_coat(std::string_view kind) const {
  const auto found = since_coat_.find(kind);
  return found == since_coat_.end() ? 0 : found->second;
}

bool PieceHistory::scuffed_since_coat() const {
  return !coats_.empty() && since_coat("scuff") + since_coat("sand") > 0;
}

// Whether the schedule scuffs between the coats of the slot, and one of them is on.
bool PieceHistory::scuffs_before_next(int slot) const {
  const auto& steps = work_.batch.schedule.steps;
  const auto scuff = [&](const ScheduleStep& step) {
    return step.step == "scuff" && step.slot == slot;
  };
  const auto on = [&](const PlannedCoat& coat) { return coat.done && coat.slot == slot; };
  return std::any_of(steps.begin(), steps.end(), scuff) &&
         std::any_of(plan_.begin(), plan_.end(), on);
}

std::pair<std::size_t, std::string> PieceHistory::next_step() const {
  if (!work_.batch.glue.empty() && glue_ups_.empty() && coats_.empty()) return {0, "glue-up"};
  const auto& steps = work_.batch.schedule.steps;
  std::map<std::string, int> asked;  // so many of a kind so far, since the last coat that is on
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const ScheduleStep& step = steps[i];
    if (step.step == "coat") {
      const auto open = [&](const PlannedCoat& coat) { return !coat.done && coat.step == i; };
      if (std::none_of(plan_.begin(), plan_.end(), open)) continue;
      const bool scuff = scuffs_before_next(step.slot) && !scuffed_since_coat();
      return {i + 1, scuff ? "scuff" : "coat"};
    }
    if (step.step == "scuff" && step.slot > 0) continue;  // see scuffs_before_next
    const auto after = [&](const PlannedCoat& coat) { return coat.done && coat.step > i; };
    const bool passed = std::any_of(plan_.begin(), plan_.end(), after);
    if (!passed && since_coat(step.step) < ++asked[step.step]) return {i + 1, step.step};
  }
  return {steps.size() + 1, "sign-off"};
}

std::pair<std::size_t, Progress> PieceHistory::progress() const {
  Progress out;
  out.coats_done = static_cast<int>(coats_.size());
  out.coats_planned = static_cast<int>(plan_.size());
  out.coats_usual = !usual_counts_.empty();
  out.scuffed_since_coat = scuffed_since_coat();
  const auto rest = to_come();
  if (!rest.empty()) {
    out.slot = rest.front().slot;
    out.next_tin = tin_of(out.slot);
  }
  auto [place, step] = next_step();
  out.next_step = std::move(step);
  return {place, std::move(out)};
}

std::vector<PieceHistory> histories(const BatchWork& work, int piece) {
  std::vector<int> pieces = piece > 0 ? std::vector{piece} : work.pieces;
  const bool divided = std::any_of(work.steps.begin(), work.steps.end(),
                                   [](const Step& step) { return !step.pieces.empty(); });
  if (divided && pieces.empty())
    for (int number = 1; number <= work.batch.pieces; ++number) pieces.push_back(number);
  if (!divided || pieces.empty()) pieces = {1};
  std::set<std::vector<const Step*>> different;
  std::vector<PieceHistory> out;
  for (const int number : pieces) {
    std::vector<const Step*> steps;
    for (const Step& step : work.steps)
      if (names_piece(step.pieces, number)) steps.push_back(&step);
    if (different.insert(steps).second) out.emplace_back(work, steps);
  }
  return out;
}

void add_new(std::vector<std::string>& list, const std::string& text) {
  if (!text.empty() && std::find(list.begin(), list.end(), text) == list.end())
    list.push_back(text);
}

}  // namespace trencher::engine
