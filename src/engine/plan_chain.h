// What pieces of a batch still ask for, as a chain of tasks and waits for the plan.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "engine/plan.h"
#include "engine/schedule.h"
#include "engine/schedule_wait.h"

namespace trencher::engine {

// Wetted wood dries so long before its fuzz is taken off: the longest end of the usual range,
// common practice, no source.
inline constexpr Seconds grain_dries = std::chrono::hours(12);

struct PlanTerms {
  Instant now;  // minute 0 of the plan
  std::vector<Sitting> sittings;
  std::map<std::string, int> minutes;      // to one board, by step; else as the schedule says
  WaitField ready = &Label::food_contact;  // what 'ready' waits for: that, or pack
};

struct PlannedWork {        // a task in the trade's words
  std::string step;         // glue-up, sand, raise-grain, coat, scuff, inspect
  int coat = 0, coats = 0;  // coat: 2 of 3
  bool scuff = false;       // coat: after a scuff, in the same sitting
  std::string tin;
  std::vector<int> pieces;  // where they do not fit into one sitting: those of this part
};

struct PlanChain {
  PlanBatch batch;                      // no task: only the cure is still to be waited for
  std::vector<PlannedWork> work;        // of each task
  std::vector<std::string> impossible;  // why it cannot be planned: whole phrases; empty: it can
  std::vector<std::string> notes;       // whole phrases
  std::vector<Date> waits;              // those it counts on, one of each, for explain()
};

// Pieces that had the same done to them. Waits to come are counted at the conditions that hold
// after the last reading. A coat that the schedule scuffs before has no longest wait; where the
// cold makes the longest end before the shortest, or no sitting falls into it, a scuff is planned.
// A task too long for any sitting is divided by boards. `ready_by` is left to the caller.
PlanChain chain_of(const BatchWork& work, const std::vector<int>& pieces,
                   const Conditions& conditions, const PlanTerms& terms);

}  // namespace trencher::engine
