// Batches put into the plan one after another, each where it fits best beside those that are there:
// as late as it is still in time, else as early as it can be. What is tried is the order of the
// batches.
#include <algorithm>

#include "engine/plan_model.h"

namespace trencher::engine {
namespace {

constexpr int most_tries = 3000;
constexpr int most_tasks_tried = 720'000;  // tries x tasks: what a second allows

class Insertion {
 public:
  explicit Insertion(const PlanModel& model)
      : model_(model),
        time_(model.time()),
        begins_(static_cast<std::size_t>(model.tasks()), 0),
        until_(model.problem().batches.size(), 0) {}

  // Nothing where a batch finds no place before the sittings end.
  std::optional<Times> run(const std::vector<std::size_t>& order) {
    std::vector<std::size_t> late;
    for (const std::size_t batch : order)
      if (!put_latest(batch)) late.push_back(batch);
    for (const std::size_t batch : late)
      if (!put_earliest(batch)) return {};
    return std::move(begins_);
  }

 private:
  void take(std::size_t batch, const Times& begins) {
    for (int i = model_.first(batch); i < model_.first(batch) + model_.count(batch); ++i) {
      begins_[static_cast<std::size_t>(i)] = begins[static_cast<std::size_t>(i)];
      time_.take(begins[static_cast<std::size_t>(i)], model_.length(i));
    }
    if (const auto stay = model_.on_rack(begins_, batch))
      stays_.push_back({*stay, model_.problem().batches[batch].boards});
  }

  bool put_latest(std::size_t batch) {
    until_[batch] = model_.problem().batches[batch].ready_by;
    if (model_.problem().batches[batch].cured > until_[batch]) return false;
    auto begins = model_.latest({batch}, {}, time_, until_);
    while (begins) {
      const auto meets = full_meanwhile(batch, *begins);
      if (!meets) break;
      // They are as late as can be, so only leaving before the rack fills up helps.
      const PlanBatch& of = model_.problem().batches[batch];
      if (!of.last_on_rack) return false;
      const int last = model_.task(batch, *of.last_on_rack);
      const auto fit =
          time_.last_fit(meets->from - of.drying - model_.length(last), model_.length(last));
      if (!fit) return false;
      (*begins)[static_cast<std::size_t>(last)] = *fit;
      if (!model_.lower(*begins, {batch}, {}, time_)) return false;
    }
    if (!begins) return false;
    take(batch, *begins);
    return true;
  }

  bool put_earliest(std::size_t batch) {
    auto begins = model_.earliest({batch}, {}, time_);
    while (begins) {
      const auto meets = full_meanwhile(batch, *begins);
      if (!meets) break;
      const PlanBatch& of = model_.problem().batches[batch];
      if (!of.onto_rack) return false;
      const int onto = model_.task(batch, *of.onto_rack);
      const auto fit = time_.first_fit(meets->until, model_.length(onto));
      if (!fit) return false;
      (*begins)[static_cast<std::size_t>(onto)] = *fit;
      if (!model_.raise(*begins, {batch}, {}, time_)) return false;
    }
    if (!begins) return false;
    take(batch, *begins);
    return true;
  }

  // A stretch within its stay on the rack when the others leave too little room: the last such.
  std::optional<Sitting> full_meanwhile(std::size_t batch, const Times& begins) const {
    const auto rack = model_.problem().rack;
    const auto stay = model_.on_rack(begins, batch);
    if (!rack || !stay) return {};
    const int room = *rack - model_.problem().batches[batch].boards;
    std::optional<Sitting> out;
    // The rack fills when somebody comes, so only beginnings of stays can be too full.
    const auto look = [&](Minutes at) {
      if (at < stay->from || at >= stay->until) return;
      int boards = 0;
      Minutes until = at;
      std::vector<std::pair<Minutes, int>> leaving;
      for (const auto& [other, count] : stays_)
        if (other.from <= at && at < other.until) {
          boards += count;
          leaving.emplace_back(other.until, count);
        }
      if (boards <= room) return;
      std::sort(leaving.begin(), leaving.end());
      for (const auto& [when, count] : leaving) {
        until = when;
        boards -= count;
        if (boards <= room) break;
      }
      if (!out || at > out->from) out = Sitting{at, until};
    };
    if (model_.problem().batches[batch].onto_rack) look(stay->from);
    for (const auto& [other, count] : stays_) look(other.from);
    return out;
  }

  const PlanModel& model_;
  FreeTime time_;
  Times begins_;
  std::vector<Minutes> until_;
  std::vector<std::pair<Sitting, int>> stays_;
};

std::optional<Found> try_order(const PlanModel& model, const std::vector<std::size_t>& order) {
  const auto begins = Insertion(model).run(order);
  if (!begins) return {};
  Found out;
  out.begins = *begins;
  out.score = model.score(*begins);
  return out;
}

}  // namespace

Found insert_batches(const PlanModel& model) {
  const auto& batches = model.problem().batches;
  std::vector<std::size_t> order = model.all();
  std::stable_sort(order.begin(), order.end(), [&](std::size_t a, std::size_t b) {
    const auto key = [&](std::size_t i) {
      const bool there = batches[i].boards > 0 && !batches[i].onto_rack;
      return std::pair(!there, batches[i].ready_by);
    };
    return key(a) < key(b);
  });
  Found best;
  best.score.late = static_cast<int>(batches.size()) + 1;
  if (auto first = try_order(model, order)) best = std::move(*first);
  // A fixed sequence (Knuth's multiplier for 64 bits): the same plan for the same problem.
  std::uint64_t sequence = 1;
  const auto pick = [&](std::size_t below) {
    sequence = sequence * 6364136223846793005U + 1442695040888963407U;
    return static_cast<std::size_t>((sequence >> 33) % below);
  };
  const int tries = std::min(most_tries, most_tasks_tried / std::max(1, model.tasks()));
  for (int i = 0; order.size() > 1 && i < tries; ++i) {
    std::vector<std::size_t> other = order;
    const std::size_t a = pick(other.size()), b = pick(other.size());
    if (i % 2) {
      std::swap(other[a], other[b]);
    } else {
      const std::size_t moved = other[a];
      other.erase(other.begin() + static_cast<std::ptrdiff_t>(a));
      other.insert(other.begin() + static_cast<std::ptrdiff_t>(b), moved);
    }
    auto found = try_order(model, other);
    if (!found || best.score.better_than(found->score)) continue;
    best = std::move(*found);
    order = std::move(other);
  }
  if (best.begins.empty()) return best;
  if (auto settled = model.settle(model.order_of(best.begins));
      settled && settled->score.better_than(best.score)) {
    best.begins = std::move(settled->begins);
    best.score = settled->score;
  }
  return best;
}

}  // namespace trencher::engine
