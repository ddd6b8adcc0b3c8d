// Gathers batches, drafts, days, hours and the rack into a plan.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "commands/call.h"
#include "commands/what_if.h"
#include "engine/plan_chain.h"

namespace trencher::commands {

struct PlanAsked {  // as typed
  std::vector<std::string> batches, ready_by, drafts, if_words;
  bool packed = false;  // ready is: may be packed
};
void declare_plan(Call& call, PlanAsked& asked);

// What is planned as one: pieces of a batch to which the same was done, or a batch only imagined.
struct PlannedPieces {
  std::string label;        // "26-014", "26-014, pieces 1-3", "draft A"
  std::string batch;        // empty: a draft
  std::vector<int> pieces;  // empty: all of the batch
  int boards = 0;
  std::optional<Day> ready_by;  // absent: by no day, as soon as can be
  std::map<std::string, Tin> tins;
  engine::PlanChain chain;
  engine::PlannedBatch planned;  // begins and ready by `from`; empty where it is impossible
};

struct Planning {
  Instant from;  // minute 0
  std::vector<PlannedPieces> of;
  engine::Plan plan;                      // of those that are possible and still ask for work
  std::vector<std::string> counted_at;    // conditions of the waits to come: whole phrases
  std::vector<std::string> rag_finishes;  // names of finishes whose rags heat by themselves

  Instant at(engine::Minutes minute) const { return from + Seconds(60 * minute); }
};

// Error::request where nobody said when the maker is in the shop, nothing is to be planned, a day
// is over or absent, or there is no plan at all. `need_days` false: what has no day is planned
// as soon as can be.
Planning make_planning(Call& call, const PlanAsked& asked, bool need_days = true);

// "coat 2 of 3 from F1 Tung oil, after a scuff; pieces 1-8".
std::string work_text(const PlannedPieces& of, const engine::PlannedWork& work);

}  // namespace trencher::commands
