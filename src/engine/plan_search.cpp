// Who comes first: wherever two tasks of a plan meet, or the rack is too full, one of them has to
// wait; both ways are tried, the better first, and a way that cannot lead to a better plan than one
// that is known is left.
#include <algorithm>

#include "engine/plan_model.h"

namespace trencher::engine {
namespace {

constexpr std::size_t most_meetings = 30;  // compared before one is settled

class Search {
 public:
  Search(const PlanModel& model, Found begun, int most)
      : model_(model), best_(std::move(begun)), most_(most) {
    // Settling an order takes longer with more tasks, in every round of more rounds.
    const double size = std::max(1.0, model.tasks() / 40.0);
    most_ = static_cast<int>(most / (size * size));
  }

  Found run() {
    std::vector<Arc> order = alike_in_order();
    ++settled_;
    const auto root = model_.settle(order);
    if (!root) return std::move(best_);
    best_.bound = root->score;
    go(order, *root);
    best_.proved = settled_ < most_;
    if (best_.proved) best_.bound = best_.score;
    return std::move(best_);
  }

 private:
  using Settled = PlanModel::Settled;
  struct Way {
    Arc arc;
    Settled settled;
  };

  bool alike(std::size_t a, std::size_t b) const {
    return model_.problem().batches[a] == model_.problem().batches[b];
  }

  // Of batches that are alike the first may as well be before the second in everything: give it
  // the earlier time of each task, and every wait, sitting and the rack are kept as before.
  std::vector<Arc> alike_in_order() const {
    std::vector<Arc> out;
    for (const std::size_t a : model_.all())
      for (std::size_t b = a + 1; b < model_.all().size(); ++b)
        if (alike(a, b)) {
          for (int k = 0; k < model_.count(a); ++k)
            out.push_back(
                {model_.first(a) + k, model_.first(b) + k, model_.length(model_.first(a) + k)});
          break;
        }
    return out;
  }

  // Where the rack is too full, for that decides most; else pairs of tasks that want the maker at
  // once, the latest first.
  std::vector<std::vector<Arc>> meetings(const Times& begins) const {
    std::vector<std::vector<Arc>> out;
    for (const std::size_t batch : model_.all()) {
      const auto crowd = model_.crowd(begins, batch);
      std::vector<Arc> ways;
      for (const std::size_t before : crowd)
        for (const std::size_t then : crowd)
          if (before != then && !(then < before && alike(then, before)))
            if (const auto arc = model_.after_leaving(before, then)) ways.push_back(*arc);
      if (!ways.empty()) out.push_back(std::move(ways));
    }
    if (!out.empty()) return out;
    std::vector<int> tasks;
    for (int i = 0; i < model_.tasks(); ++i) tasks.push_back(i);
    const auto at = [&](int task) { return begins[static_cast<std::size_t>(task)]; };
    std::sort(tasks.begin(), tasks.end(),
              [&](int a, int b) { return std::pair(at(a), a) > std::pair(at(b), b); });
    for (std::size_t i = 0; i < tasks.size() && out.size() < most_meetings; ++i)
      for (std::size_t j = i + 1; j < tasks.size() && out.size() < most_meetings; ++j) {
        const int a = tasks[i], b = tasks[j];
        if (model_.end(begins, b) <= at(a)) continue;
        out.push_back({{b, a, model_.length(b)}, {a, b, model_.length(a)}});
      }
    return out;
  }

  bool can_be_better(const Settled& settled) const {
    return settled.score.better_than(best_.score);
  }

  static double loss(const Score& before, const Score& after) {
    return 1e12 * (after.late - before.late) +
           1e3 * static_cast<double>(after.lateness - before.lateness) +
           static_cast<double>(before.begins - after.begins);
  }

  void go(std::vector<Arc>& order, const Settled& here) {
    const std::size_t depth = order.size();
    Settled now = here;
    while (can_be_better(now) && settled_ < most_) {
      const auto meeting = meetings(now.begins);
      if (meeting.empty()) {
        best_.begins = now.begins;
        best_.score = now.score;
        break;
      }
      // The meeting whose ways cost most comes first: it leaves least to try.
      std::vector<Way> chosen;
      double most = -1;
      bool dead = false;
      for (const auto& ways : meeting) {
        std::vector<Way> open;
        double least = -1;
        for (const Arc& arc : ways) {
          order.push_back(arc);
          ++settled_;
          auto settled = model_.settle(order, now, best_.score);
          order.pop_back();
          if (!settled) continue;
          const double lost = loss(now.score, settled->score);
          if (least < 0 || lost < least) least = lost;
          open.push_back({arc, std::move(*settled)});
        }
        dead = open.empty();
        const bool forced = open.size() == 1;
        if (dead || forced || least > most) {
          chosen = std::move(open);
          most = least;
        }
        if (dead || forced) break;
      }
      if (dead) break;
      if (chosen.size() == 1) {
        order.push_back(chosen.front().arc);
        now = std::move(chosen.front().settled);
        continue;
      }
      std::stable_sort(chosen.begin(), chosen.end(), [](const Way& a, const Way& b) {
        return a.settled.score.better_than(b.settled.score);
      });
      for (const Way& way : chosen) {
        order.push_back(way.arc);
        go(order, way.settled);
        order.pop_back();
      }
      break;
    }
    order.resize(depth);
  }

  const PlanModel& model_;
  Found best_;
  int most_, settled_ = 0;
};

}  // namespace

Found search_orders(const PlanModel& model, Found begun, int most) {
  return Search(model, std::move(begun), most).run();
}

}  // namespace trencher::engine
