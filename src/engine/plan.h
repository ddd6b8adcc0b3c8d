// What to do when, so that boards are ready by their days: one maker, the shop's hours, one rack.
//
// Pure numbers: whole minutes since a moment that the caller chooses. Each batch is a chain of
// attended tasks with waits between them; the maker attends one task at a time, each within one
// sitting; the rack holds so many boards. Best is: fewest late batches, then least lateness in all,
// then the latest beginnings in all.
#pragma once

#include <cstdint>
#include <optional>
#include <string>
#include <vector>

namespace trencher::engine {

using Minutes = std::int64_t;

struct Sitting {  // the maker is in the shop from `from` until before `until`
  Minutes from = 0, until = 0;
  bool operator==(const Sitting&) const = default;
};

struct PlanTask {
  Minutes length = 1;              // of the maker's time, within one sitting
  Minutes wait = 0;                // at least, from the end of the task before to its beginning
  std::optional<Minutes> longest;  // at most, from the beginning of a task before to its end
  std::size_t back = 1;            // which: so many tasks before
  Minutes cure = 0;                // from its end until the boards can be ready, as far as it goes
  bool after_cure = false;         // begins when the cure of all tasks before is over
  bool operator==(const PlanTask&) const = default;
};

struct PlanBatch {
  std::vector<PlanTask> tasks;           // at least one
  Minutes not_before = 0;                // the first task's beginning
  std::optional<Minutes> first_done_by;  // the first task's end, at the latest
  Minutes cured = 0;                     // when what is on the boards by now has cured
  Minutes ready_by = 0;
  // The rack: from the beginning of task `onto_rack` (absent: they stand on it already, or never
  // will) until `drying` after the end of task `last_on_rack` (absent: until `off_rack`).
  int boards = 0;
  std::optional<std::size_t> onto_rack, last_on_rack;
  Minutes drying = 0;
  std::optional<Minutes> off_rack;
  bool operator==(const PlanBatch&) const = default;
};

struct PlanProblem {
  std::vector<Sitting> sittings;  // by time, apart; those before now too
  std::vector<PlanBatch> batches;
  std::optional<int> rack;  // boards; absent: any number
};

// Which limit holds a batch back: the waits themselves, the maker's hours, or the rack.
enum class PlanLimit { cure, hours, rack };

struct PlannedBatch {
  std::vector<Minutes> begins;  // of each task
  Minutes ready = 0;            // the last task is done, and all has cured
  Minutes late = 0;             // beyond ready_by
  PlanLimit limit = PlanLimit::cure;
  // The latest beginning of the first task with which it would be ready in time if nothing else
  // were in the shop; absent: too late whatever one had done within the sittings.
  std::optional<Minutes> alone;
};

struct Plan {
  std::vector<PlannedBatch> batches;  // as in the problem
  int late_batches = 0;
  Minutes lateness = 0;  // of all batches
  Minutes begins = 0;    // sum of the first tasks' beginnings
  // No plan has fewer late batches; none has less lateness; of those with so few and so little none
  // begins later in all. Where `best` they are the plan's own figures.
  bool best = false;
  int least_late = 0;
  Minutes least_lateness = 0, latest_begins = 0;
};

// What cannot be planned at all: a task longer than every sitting, a batch of more boards than the
// rack holds, a longest wait that no sitting meets.
struct NoPlan {
  std::size_t batch = 0, task = 0;
  // together: each could be done alone, but no plan was found that keeps every longest wait.
  enum class Why { too_long, rack_too_small, window, end_of_sittings, together };
  Why why = Why::too_long;
};

// The best plan for up to about four batches, proved by search; a good one for more, with its
// bounds. The same problem gives the same plan. `most_orders` bounds the search; as it stands it
// takes a second at most. Throws NoPlan.
inline constexpr int plan_orders = 400'000;
Plan plan(const PlanProblem& problem, int most_orders = plan_orders);

}  // namespace trencher::engine
