// A plan's tasks in one list, what must come before what, and the times that this leaves them.
//
// With the order of the tasks given, the times that keep it form a lattice: there is one plan with
// every task at its earliest and one with every task at its latest. All search is over orders.
#pragma once

#include <limits>
#include <optional>
#include <vector>

#include "engine/plan.h"

namespace trencher::engine {

// The maker's time, and what of it is taken.
class FreeTime {
 public:
  explicit FreeTime(std::vector<Sitting> free) : free_(std::move(free)) {}
  static FreeTime always();
  // The first beginning from `from` on, or the last up to `from`, of a task of that length.
  std::optional<Minutes> first_fit(Minutes from, Minutes length) const;
  std::optional<Minutes> last_fit(Minutes from, Minutes length) const;
  void take(Minutes from, Minutes length);  // REQUIRES: it is free
  Minutes longest() const;                  // of one sitting

 private:
  std::vector<Sitting> free_;  // by time, apart
};

using Times = std::vector<Minutes>;  // the beginning of each task of a model

struct Arc {  // task `to` begins at least `gap` after task `from` begins; from -1: after minute 0
  int from = -1, to = 0;
  Minutes gap = 0;
};

// Late batches, lateness, and the sum of first beginnings: fewer, less, later is better.
struct Score {
  int late = 0;
  Minutes lateness = 0, begins = 0;
  bool operator==(const Score&) const = default;
  bool better_than(const Score& other) const;
};

class PlanModel {
 public:
  PlanModel(const PlanProblem& problem, const FreeTime& time);

  const PlanProblem& problem() const { return problem_; }
  const FreeTime& time() const { return time_; }
  int tasks() const { return static_cast<int>(length_.size()); }
  Minutes length(int task) const { return length_[static_cast<std::size_t>(task)]; }
  Minutes end(const Times& begins, int task) const {
    return begins[static_cast<std::size_t>(task)] + length(task);
  }
  int task(std::size_t batch, std::size_t step) const {
    return first_[batch] + static_cast<int>(step);
  }
  int first(std::size_t batch) const { return first_[batch]; }
  int count(std::size_t batch) const {
    return static_cast<int>(problem_.batches[batch].tasks.size());
  }
  const std::vector<Arc>& arcs(std::size_t batch) const { return arcs_[batch]; }

  Minutes ready(const Times& begins, std::size_t batch) const;
  Score score(const Times& begins) const;

  // The earliest and the latest times of the tasks of `batches` under their own waits and `order`,
  // within `time`. Nothing where there are none. `ready_until` is by batch.
  std::optional<Times> earliest(const std::vector<std::size_t>& batches,
                                const std::vector<Arc>& order, const FreeTime& time) const;
  std::optional<Times> latest(const std::vector<std::size_t>& batches,
                              const std::vector<Arc>& order, const FreeTime& time,
                              const std::vector<Minutes>& ready_until) const;
  // Raises or lowers times that are given until they keep everything.
  bool raise(Times& begins, const std::vector<std::size_t>& batches, const std::vector<Arc>& order,
             const FreeTime& time) const;
  bool lower(Times& begins, const std::vector<std::size_t>& batches, const std::vector<Arc>& order,
             const FreeTime& time) const;
  // The best times under `order`: as little late as it allows, and begun as late as that allows.
  struct Settled {
    Times begins;
    Score score;
    Times soonest;
    std::vector<Minutes> until;  // by batch: when it is ready at the latest
  };
  std::optional<Settled> settle(const std::vector<Arc>& order) const;
  // The same for `order` whose last arc came to that of `before`; nothing where the score is not
  // better than `known`.
  std::optional<Settled> settle(const std::vector<Arc>& order, const Settled& before,
                                const Score& known) const;

  // From when until when a batch stands on the rack; nothing where it never does.
  std::optional<Sitting> on_rack(const Times& begins, std::size_t batch) const;
  // The batches that stand on the rack when `batch` comes onto it and that are, with it, too many
  // for it, fewest first; empty: there is room.
  std::vector<std::size_t> crowd(const Times& begins, std::size_t batch) const;
  // What puts `then` onto the rack only after `before` has left it.
  std::optional<Arc> after_leaving(std::size_t before, std::size_t then) const;
  // The order in which these times have the tasks, and who has left the rack before whom comes.
  std::vector<Arc> order_of(const Times& begins) const;
  const std::vector<std::size_t>& all() const { return all_; }

 private:
  // Least lateness in all is least lateness of each: who is late stays as late as that.
  std::vector<Minutes> latest_ready(const Times& soonest) const;

  const PlanProblem& problem_;
  FreeTime time_;
  std::vector<Minutes> length_;
  std::vector<int> first_;
  std::vector<std::vector<Arc>> arcs_;
  std::vector<std::size_t> all_;
  int most_rounds_ = std::numeric_limits<int>::max();
};

struct Found {
  Times begins;  // empty: none was found
  Score score;
  bool proved = false;  // there is none better
  Score bound;          // no plan is better than this
};
// Batches put one after another where each fits best, in orders that get better: a good plan.
Found insert_batches(const PlanModel& model);
// Settles who comes first wherever two tasks meet, the better way first, from a plan to begin with.
// `most`: so many orders are settled at most, fewer of many tasks.
Found search_orders(const PlanModel& model, Found begun, int most);

}  // namespace trencher::engine
