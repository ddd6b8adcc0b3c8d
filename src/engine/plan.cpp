#include "engine/plan.h"

#include <algorithm>
#include <limits>

#include "engine/plan_model.h"

namespace trencher::engine {
namespace {

constexpr Minutes long_ago = -1'000'000'000;

constexpr int free_share = 20;  // of the search goes to the shop without a rack

// The same batch if it had no present: for what would have been.
PlanBatch timeless(PlanBatch batch) {
  batch.not_before = long_ago;
  batch.first_done_by.reset();
  batch.cured = long_ago;
  return batch;
}

PlanProblem only(const PlanProblem& problem, PlanBatch batch) {
  return {problem.sittings, {std::move(batch)}, {}};
}

// The soonest that a batch could be ready with the shop to itself; nothing where the sittings end
// first or a longest wait is not met.
std::optional<Minutes> soonest(const PlanProblem& problem, const PlanBatch& batch,
                               const FreeTime& time) {
  const PlanProblem alone = only(problem, batch);
  const PlanModel model(alone, time);
  const auto begins = model.earliest(model.all(), {}, time);
  return begins ? std::optional(model.ready(*begins, 0)) : std::nullopt;
}

// The latest beginning with which it would be ready in time.
std::optional<Minutes> latest_begin(const PlanProblem& problem, const PlanBatch& batch,
                                    const FreeTime& time) {
  if (batch.cured > batch.ready_by) return {};
  const PlanProblem alone = only(problem, timeless(batch));
  const PlanModel model(alone, time);
  const auto begins = model.latest(model.all(), {}, time, {batch.ready_by});
  return begins ? std::optional(begins->front()) : std::nullopt;
}

void demand_possible(const PlanProblem& problem, const FreeTime& time) {
  for (std::size_t i = 0; i < problem.batches.size(); ++i) {
    const PlanBatch& batch = problem.batches[i];
    for (std::size_t k = 0; k < batch.tasks.size(); ++k)
      if (batch.tasks[k].length > time.longest()) throw NoPlan{i, k, NoPlan::Why::too_long};
    if (problem.rack && batch.onto_rack && batch.boards > *problem.rack)
      throw NoPlan{i, *batch.onto_rack, NoPlan::Why::rack_too_small};
    if (soonest(problem, batch, time)) continue;
    PlanBatch looser = batch;
    looser.first_done_by.reset();
    for (PlanTask& task : looser.tasks) task.longest.reset();
    if (!soonest(problem, looser, time))
      throw NoPlan{i, batch.tasks.size() - 1, NoPlan::Why::end_of_sittings};
    looser.first_done_by = batch.first_done_by;
    for (std::size_t k = 0; k < batch.tasks.size(); ++k) {
      looser.tasks[k].longest = batch.tasks[k].longest;
      if (!soonest(problem, looser, time)) throw NoPlan{i, k, NoPlan::Why::window};
    }
  }
}

Found best_order(const PlanModel& model, int orders) {
  Found found = search_orders(model, insert_batches(model), orders);
  if (found.begins.empty()) throw NoPlan{0, 0, NoPlan::Why::together};
  return found;
}

// How many batches must be late whatever one does: those that would be late alone, and of the
// others the fewest that have to go so that the work of each fits before its last task has to be
// done (Moore and Hodgson's rule for one machine, work divisible).
int least_late(const PlanProblem& problem, const FreeTime& time) {
  struct Job {
    Minutes due = 0, work = 0;
  };
  std::vector<Job> jobs;
  int late = 0;
  for (const PlanBatch& batch : problem.batches) {
    const auto ready = soonest(problem, batch, time);
    if (!ready || *ready > batch.ready_by) {
      ++late;
      continue;
    }
    // All but what waits for the cure is done by the end of its last coat.
    const PlanProblem alone = only(problem, batch);
    const PlanModel model(alone, time);
    const auto begins = model.latest(model.all(), {}, time, {batch.ready_by});
    Job job;
    for (std::size_t k = 0; k < batch.tasks.size(); ++k) {
      if (batch.tasks[k].after_cure) continue;
      job.work += batch.tasks[k].length;
      job.due = std::max(job.due, model.end(*begins, static_cast<int>(k)));
    }
    if (job.work > 0) jobs.push_back(job);
  }
  const auto hours_until = [&](Minutes due) {
    Minutes out = 0;
    for (const Sitting& sitting : problem.sittings)
      out +=
          std::max<Minutes>(0, std::min(due, sitting.until) - std::max<Minutes>(0, sitting.from));
    return out;
  };
  std::sort(jobs.begin(), jobs.end(), [](const Job& a, const Job& b) { return a.due < b.due; });
  std::vector<Minutes> kept;
  Minutes work = 0;
  for (const Job& job : jobs) {
    kept.push_back(job.work);
    work += job.work;
    if (work <= hours_until(job.due)) continue;
    const auto longest = std::max_element(kept.begin(), kept.end());
    work -= *longest;
    kept.erase(longest);
    ++late;
  }
  return late;
}

// Once begun as late as may be, the rest goes on as soon as it can.
Times go_on_at_once(const PlanModel& model, const Found& found) {
  Times begins = *model.earliest(model.all(), {}, model.time());
  for (const std::size_t batch : model.all()) {
    const auto first = static_cast<std::size_t>(model.first(batch));
    begins[first] = found.begins[first];
  }
  if (!model.raise(begins, model.all(), model.order_of(found.begins), model.time()))
    return found.begins;
  return begins;
}

PlanLimit limit_of(const PlanProblem& problem, std::size_t batch, const PlannedBatch& planned,
                   const PlannedBatch& without_rack, const FreeTime& time) {
  const PlanBatch& of = problem.batches[batch];
  if (planned.late > 0) {
    const auto ready = soonest(problem, of, FreeTime::always());
    if (!ready || *ready > of.ready_by) return PlanLimit::cure;
    if (without_rack.late < planned.late) return PlanLimit::rack;
    return PlanLimit::hours;
  }
  if (without_rack.late == 0 && without_rack.begins.front() > planned.begins.front())
    return PlanLimit::rack;
  const auto by_cure = latest_begin(problem, of, FreeTime::always());
  const auto fit = by_cure ? time.last_fit(*by_cure, of.tasks.front().length) : std::nullopt;
  return fit && planned.begins.front() >= *fit ? PlanLimit::cure : PlanLimit::hours;
}

std::vector<PlannedBatch> planned(const PlanModel& model, const Times& begins) {
  std::vector<PlannedBatch> out;
  for (const std::size_t batch : model.all()) {
    PlannedBatch of;
    const auto from = begins.begin() + model.first(batch);
    of.begins.assign(from, from + model.count(batch));
    of.ready = model.ready(begins, batch);
    of.late = std::max<Minutes>(0, of.ready - model.problem().batches[batch].ready_by);
    out.push_back(std::move(of));
  }
  return out;
}

}  // namespace

Plan plan(const PlanProblem& problem, int most_orders) {
  const FreeTime time(problem.sittings);
  demand_possible(problem, time);
  const PlanModel model(problem, time);
  const Found found = best_order(model, most_orders);
  PlanProblem no_rack = problem;
  no_rack.rack.reset();
  const PlanModel free_model(no_rack, time);
  const Found freely = problem.rack ? best_order(free_model, most_orders / free_share) : found;
  const std::vector<PlannedBatch> without_rack =
      planned(free_model, go_on_at_once(free_model, freely));
  Plan out;
  out.batches = planned(model, go_on_at_once(model, found));
  out.late_batches = found.score.late;
  out.lateness = found.score.lateness;
  out.begins = found.score.begins;
  out.best = found.proved;
  out.least_late =
      out.best ? out.late_batches : std::max(found.bound.late, least_late(problem, time));
  out.least_lateness = found.bound.lateness;
  out.latest_begins = found.bound.begins;
  for (std::size_t i = 0; i < out.batches.size(); ++i) {
    out.batches[i].limit = limit_of(problem, i, out.batches[i], without_rack[i], time);
    out.batches[i].alone = latest_begin(problem, problem.batches[i], time);
  }
  return out;
}

}  // namespace trencher::engine
