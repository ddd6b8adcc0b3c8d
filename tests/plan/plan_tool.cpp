// Plans problems that stand on standard input as JSON, one a line, and prints one answer a line:
// what tests/plan/prove.py proves. With the argument `hurried` almost without search.
#include <chrono>
#include <iostream>
#include <string>

#include "domain/json.h"
#include "engine/plan.h"

namespace {

using namespace trencher;
using namespace trencher::engine;

std::optional<std::size_t> maybe_index(const Json& json, const char* name) {
  const auto value = json.maybe_integer(name);
  return value ? std::optional(static_cast<std::size_t>(*value)) : std::nullopt;
}

PlanBatch read_batch(const Json& json) {
  PlanBatch batch;
  for (const Json& item : json.at("tasks").items()) {
    PlanTask task;
    task.length = item.integer("length");
    task.wait = item.integer("wait");
    task.longest = item.maybe_integer("longest");
    task.back = maybe_index(item, "back").value_or(1);
    task.cure = item.integer("cure");
    task.after_cure = item.integer("after_cure") != 0;
    batch.tasks.push_back(task);
  }
  batch.not_before = json.integer("not_before");
  batch.first_done_by = json.maybe_integer("first_done_by");
  batch.cured = json.integer("cured");
  batch.ready_by = json.integer("ready_by");
  batch.boards = static_cast<int>(json.integer("boards"));
  batch.onto_rack = maybe_index(json, "onto_rack");
  batch.last_on_rack = maybe_index(json, "last_on_rack");
  batch.drying = json.integer("drying");
  batch.off_rack = json.maybe_integer("off_rack");
  return batch;
}

PlanProblem read_problem(const Json& json) {
  PlanProblem problem;
  for (const Json& item : json.at("sittings").items())
    problem.sittings.push_back({item.items()[0].as_integer(), item.items()[1].as_integer()});
  for (const Json& item : json.at("batches").items()) problem.batches.push_back(read_batch(item));
  if (const auto rack = json.maybe_integer("rack")) problem.rack = static_cast<int>(*rack);
  return problem;
}

Json answer(const PlanProblem& problem, int most_orders) {
  const auto began = std::chrono::steady_clock::now();
  Json out = Json::object();
  try {
    const Plan found = plan(problem, most_orders);
    Json begins = Json::array();
    for (const PlannedBatch& batch : found.batches) begins.push(Json::list(batch.begins));
    out.set("begins", std::move(begins)).set("late", found.late_batches);
    out.set("lateness", found.lateness).set("begun", found.begins).set("best", found.best);
    out.set("least_late", found.least_late).set("least_lateness", found.least_lateness);
    out.set("latest_begins", found.latest_begins);
  } catch (const NoPlan& none) {
    out.set("none", static_cast<std::int64_t>(none.why));
    out.set("batch", none.batch).set("task", none.task);
  }
  const auto took = std::chrono::steady_clock::now() - began;
  out.set("milliseconds", std::chrono::duration_cast<std::chrono::milliseconds>(took).count());
  return out;
}

}  // namespace

int main(int argc, char** argv) {
  const bool hurried = argc > 1 && std::string(argv[1]) == "hurried";
  std::string line;
  while (std::getline(std::cin, line))
    std::cout << answer(read_problem(Json::parse(line)), hurried ? 1 : plan_orders).text()
              << std::endl;
}
