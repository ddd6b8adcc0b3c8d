#include "engine/schedule_history.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

namespace trencher::engine {
namespace {

template <typename Item>
void append(std::vector<Item>& list, const std::vector<Item>& more) {
  list.insert(list.end(), more.begin(), more.end());
}

}  // namespace

PieceHistory::PieceHistory(const BatchWork& work, int piece, const std::vector<const Step*>& steps,
                           const std::vector<const Turn*>& turns)
    : work_(work), piece_(piece), schedule_(&work.batch.schedule), finish_(&work.batch.finish) {
  make_plan();
  auto next = turns.begin();
  const auto comes_first = [](const Turn& turn, const Step& step) {
    return turn.at.at != step.at.at ? turn.at.at < step.at.at : turn.entry < step.entry;
  };
  for (const Step* step : steps) {
    for (; next != turns.end() && comes_first(**next, *step); ++next) turn(**next);
    log(*step);
  }
  for (; next != turns.end(); ++next) turn(**next);
}

void PieceHistory::make_plan() {
  plan_.clear();
  usual_counts_.clear();
  coats_of_plan_ = 0;
  const auto& steps = schedule_->steps;
  for (std::size_t i = 0; i < steps.size(); ++i) {
    if (steps[i].step != "coat") continue;
    const int count = steps[i].count ? *steps[i].count : coats_by_label(steps[i].slot);
    plan_.insert(plan_.end(), static_cast<std::size_t>(std::max(count, 0)),
                 PlannedCoat{steps[i].slot, i});
  }
}

void PieceHistory::turn(const Turn& turn) {
  if (turn.unused && !turn.schedule) return;
  static const Schedule one_coat = [] {
    Schedule schedule;
    schedule.steps.resize(2);
    schedule.steps[0].step = "coat";
    schedule.steps[0].slot = 1;
    schedule.steps[0].count = 1;
    schedule.steps[1].step = "inspect";
    return schedule;
  }();
  static const std::vector<std::string> any_tin;
  schedule_ = turn.schedule ? &*turn.schedule : &one_coat;
  finish_ = turn.schedule ? &turn.finish : &any_tin;
  if (turn.kind == Turn::Kind::take_back && !turn.unused) {
    append(worn_coats_, coats_);
    coats_.clear();
    since_coat_.clear();
    came_back_used_ = true;
    if (turn.owner_applied != "nothing")
      owner_unknown_ = fmt::format("what its owner put on it before it came back is {} (entry {})",
                                   turn.owner_applied.empty()
                                       ? "not known"
                                       : "known only as '" + turn.owner_applied + "', not when",
                                   turn.entry);
  }
  make_plan();
}

std::vector<Use> PieceHistory::uses(std::int64_t entry, Instant start,
                                    const std::vector<std::string>& tins) const {
  std::vector<Use> out;
  for (const std::string& tin : tins) {
    const auto from = sources(work_.tins, tin);
    if (from.empty()) out.push_back({entry, start, tin, {}});
    for (const Tin* source : from)
      if (source->stock != "other") out.push_back({entry, start, source->id, {}});
  }
  return out;
}

// Solvent, pigment and the like have no wait between coats; what of it cures counts by its own.
std::vector<Use> PieceHistory::others(const Step& step) const {
  std::vector<Use> out;
  for (const Drawn& part : step.drawn)
    for (const Tin* source : sources(work_.tins, part.tin))
      if (source->stock == "other" && source->label.mechanism != Mechanism::none)
        out.push_back({step.entry, step.at.at, source->id, {}});
  return out;
}

const std::vector<Use>* PieceHistory::last_coat() const {
  if (!coats_.empty()) return &coats_.back();
  return worn_coats_.empty() ? nullptr : &worn_coats_.back();
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
  std::vector<std::string> drawn;
  for (const Drawn& part : step.drawn) drawn.push_back(part.tin);
  append(fitted_, others(step));
  if (step.kind == "coat") {
    since_coat_.clear();
    const int slot = take_from_plan(drawn);
    ++coats_of_plan_;
    if (drawn.empty()) drawn.push_back(tin_of(slot));
    coats_.push_back(uses(step.entry, step.at.at, drawn));
    return;
  }
  // A fault found undoes what was found sound before.
  since_coat_[step.kind] = step.result == "not-sound" ? 0 : since_coat_[step.kind] + 1;
  if (step.kind == "glue-up")
    append(glue_ups_, uses(step.entry, step.at.at, drawn.empty() ? work_.batch.glue : drawn));
  if (step.kind == "fit") append(fitted_, uses(step.entry, step.at.at, drawn));
}

// The slot whose coat this is: the next in the plan, unless it was drawn from another slot's tin.
int PieceHistory::take_from_plan(const std::vector<std::string>& drawn) {
  const auto rest = to_come();
  int slot = rest.empty() ? 1 : rest.front().slot;
  const auto holds = [&](int candidate) {
    return std::find(drawn.begin(), drawn.end(), tin_of(candidate)) != drawn.end();
  };
  if (!holds(slot))
    for (int other = static_cast<int>(finish_->size()); other >= 1; --other)
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
  return slot >= 1 && slot <= static_cast<int>(finish_->size())
             ? (*finish_)[static_cast<std::size_t>(slot - 1)]
             : std::string();
}

int PieceHistory::since_coat(std::string_view kind) const {
  const auto found = since_coat_.find(kind);
  return found == since_coat_.end() ? 0 : found->second;
}

bool PieceHistory::scuffed_since_coat() const {
  return last_coat() && since_coat("scuff") + since_coat("sand") > 0;
}

bool PieceHistory::scuffs_between_coats(int slot) const {
  return std::any_of(
      schedule_->steps.begin(), schedule_->steps.end(),
      [&](const ScheduleStep& step) { return step.step == "scuff" && step.slot == slot; });
}

std::vector<ToDo> PieceHistory::to_do() const {
  std::vector<ToDo> out;
  if (!work_.batch.glue.empty() && glue_ups_.empty() && coats_.empty() && worn_coats_.empty())
    out.push_back({0, "glue-up", {}, 0, 0});
  const auto& steps = schedule_->steps;
  std::set<int> on;  // slots of which a coat is on
  for (const PlannedCoat& coat : plan_)
    if (coat.done) on.insert(coat.slot);
  int coats = coats_of_plan_;
  bool scuffed = scuffed_since_coat();
  std::map<std::string, int> asked;  // so many of a kind so far, since the last coat that is on
  for (std::size_t i = 0; i < steps.size(); ++i) {
    const ScheduleStep& step = steps[i];
    if (step.step == "coat") {
      for (const PlannedCoat& coat : plan_) {
        if (coat.done || coat.step != i) continue;
        if (scuffs_between_coats(coat.slot) && on.contains(coat.slot) && !scuffed)
          out.push_back({i + 1, "scuff", i, coat.slot, coats + 1});
        out.push_back({i + 1, "coat", i, coat.slot, ++coats});
        on.insert(coat.slot);
        scuffed = false;
      }
      continue;
    }
    if (step.step == "scuff" && step.slot > 0) continue;  // see scuffs_between_coats
    const auto after = [&](const PlannedCoat& coat) { return coat.done && coat.step > i; };
    const bool passed = std::any_of(plan_.begin(), plan_.end(), after);
    const int done = coats > coats_of_plan_ ? 0 : since_coat(step.step);
    if (!passed && done < ++asked[step.step]) out.push_back({i + 1, step.step, i, 0, 0});
  }
  return out;
}

std::pair<std::size_t, Progress> PieceHistory::progress() const {
  Progress out;
  out.coats_done = coats_of_plan_;
  out.coats_planned = static_cast<int>(plan_.size());
  out.coats_usual = !usual_counts_.empty();
  out.scuffed_since_coat = scuffed_since_coat();
  const auto rest = to_come();
  if (!rest.empty()) {
    out.slot = rest.front().slot;
    out.next_tin = tin_of(out.slot);
  }
  const auto next = to_do();
  out.next_step = next.empty() ? "sign-off" : next.front().step;
  return {next.empty() ? schedule_->steps.size() + 1 : next.front().place, std::move(out)};
}

std::vector<PieceHistory> histories(const BatchWork& work, int piece) {
  std::vector<int> pieces = piece > 0 ? std::vector{piece} : work.pieces;
  const bool divided =
      !work.turns.empty() || std::any_of(work.steps.begin(), work.steps.end(),
                                         [](const Step& step) { return !step.pieces.empty(); });
  if (divided && pieces.empty())
    for (int number = 1; number <= work.batch.pieces; ++number) pieces.push_back(number);
  if (pieces.empty()) pieces = {1};
  if (!divided) pieces.resize(1);
  std::set<std::pair<std::vector<const Step*>, std::vector<const Turn*>>> different;
  std::vector<PieceHistory> out;
  for (const int number : pieces) {
    std::vector<const Step*> steps;
    std::vector<const Turn*> turns;
    for (const Step& step : work.steps)
      if (names_piece(step.pieces, number)) steps.push_back(&step);
    for (const Turn& turn : work.turns)
      if (names_piece(turn.pieces, number)) turns.push_back(&turn);
    if (different.insert({steps, turns}).second) out.emplace_back(work, number, steps, turns);
  }
  return out;
}

void add_new(std::vector<std::string>& list, const std::string& text) {
  if (!text.empty() && std::find(list.begin(), list.end(), text) == list.end())
    list.push_back(text);
}

}  // namespace trencher::engine
