#include "engine/plan_model.h"

#include <algorithm>
#include <limits>
#include <numeric>

namespace trencher::engine {
namespace {

constexpr Minutes unlimited = std::numeric_limits<Minutes>::max() / 4;

}  // namespace

FreeTime FreeTime::always() { return FreeTime({{-unlimited, unlimited}}); }

std::optional<Minutes> FreeTime::first_fit(Minutes from, Minutes length) const {
  auto it = std::upper_bound(free_.begin(), free_.end(), from,
                             [](Minutes at, const Sitting& s) { return at < s.until; });
  for (; it != free_.end(); ++it) {
    const Minutes begin = std::max(from, it->from);
    if (begin + length <= it->until) return begin;
  }
  return {};
}

std::optional<Minutes> FreeTime::last_fit(Minutes from, Minutes length) const {
  auto it = std::upper_bound(free_.begin(), free_.end(), from,
                             [](Minutes at, const Sitting& s) { return at < s.from; });
  while (it != free_.begin()) {
    --it;
    const Minutes begin = std::min(from, it->until - length);
    if (begin >= it->from) return begin;
  }
  return {};
}

void FreeTime::take(Minutes from, Minutes length) {
  auto it = std::upper_bound(free_.begin(), free_.end(), from,
                             [](Minutes at, const Sitting& s) { return at < s.until; });
  const Sitting rest{from + length, it->until};
  it->until = from;
  const bool empty = it->from == it->until;
  if (rest.from < rest.until) {
    if (empty)
      *it = rest;
    else
      free_.insert(it + 1, rest);
  } else if (empty) {
    free_.erase(it);
  }
}

Minutes FreeTime::longest() const {
  Minutes out = 0;
  for (const Sitting& sitting : free_) out = std::max(out, sitting.until - sitting.from);
  return out;
}

bool Score::better_than(const Score& other) const {
  if (late != other.late) return late < other.late;
  if (lateness != other.lateness) return lateness < other.lateness;
  return begins > other.begins;
}

PlanModel::PlanModel(const PlanProblem& problem, const FreeTime& time)
    : problem_(problem), time_(time) {
  bool backwards = false;
  for (const PlanBatch& batch : problem.batches) {
    const int first = tasks();
    std::vector<Arc> arcs{{-1, first, batch.not_before}};
    if (batch.first_done_by)  // backwards: minute 0 comes after the last beginning that there is
      arcs.push_back({first, -1, batch.tasks.front().length - *batch.first_done_by});
    for (std::size_t k = 0; k < batch.tasks.size(); ++k) {
      const PlanTask& task = batch.tasks[k];
      const int here = first + static_cast<int>(k);
      length_.push_back(task.length);
      if (task.after_cure) arcs.push_back({-1, here, batch.cured});
      if (k == 0) continue;
      const PlanTask& before = batch.tasks[k - 1];
      arcs.push_back({here - 1, here, before.length + task.wait});
      if (task.longest)
        arcs.push_back({here, here - static_cast<int>(task.back), task.length - *task.longest});
      if (!task.after_cure) continue;
      for (std::size_t j = 0; j < k; ++j)
        if (const PlanTask& on = batch.tasks[j]; on.cure > 0)
          arcs.push_back({first + static_cast<int>(j), here, on.length + on.cure});
    }
    first_.push_back(first);
    arcs_.push_back(std::move(arcs));
    for (const PlanTask& task : batch.tasks) backwards = backwards || task.longest;
  }
  // Without longest waits nothing runs backwards: what is not settled after so many rounds is an
  // order that goes in a circle.
  if (!backwards) most_rounds_ = tasks() + 1;
  all_.resize(problem.batches.size());
  std::iota(all_.begin(), all_.end(), std::size_t{0});
}

Minutes PlanModel::ready(const Times& begins, std::size_t batch) const {
  const PlanBatch& of = problem_.batches[batch];
  Minutes out = of.cured;
  for (std::size_t k = 0; k < of.tasks.size(); ++k)
    out = std::max(out, end(begins, task(batch, k)) + of.tasks[k].cure);
  return out;
}

Score PlanModel::score(const Times& begins) const {
  Score out;
  for (const std::size_t batch : all_) {
    const Minutes late = ready(begins, batch) - problem_.batches[batch].ready_by;
    if (late > 0) {
      ++out.late;
      out.lateness += late;
    }
    out.begins += begins[static_cast<std::size_t>(first_[batch])];
  }
  return out;
}

bool PlanModel::raise(Times& begins, const std::vector<std::size_t>& batches,
                      const std::vector<Arc>& order, const FreeTime& time) const {
  bool changed = true;
  const auto keep = [&](const Arc& arc) {
    const Minutes from = arc.from < 0 ? 0 : begins[static_cast<std::size_t>(arc.from)];
    if (arc.to < 0) return from + arc.gap <= 0;
    Minutes& to = begins[static_cast<std::size_t>(arc.to)];
    if (to >= from + arc.gap) return true;
    const auto fit = time.first_fit(from + arc.gap, length(arc.to));
    if (!fit) return false;
    to = *fit;
    changed = true;
    return true;
  };
  for (int round = 0; changed; ++round) {
    if (round > most_rounds_) return false;
    changed = false;
    for (const std::size_t batch : batches)
      for (const Arc& arc : arcs_[batch])
        if (!keep(arc)) return false;
    for (const Arc& arc : order)
      if (!keep(arc)) return false;
  }
  return true;
}

bool PlanModel::lower(Times& begins, const std::vector<std::size_t>& batches,
                      const std::vector<Arc>& order, const FreeTime& time) const {
  bool changed = true;
  const auto keep = [&](const Arc& arc) {
    const Minutes to = arc.to < 0 ? 0 : begins[static_cast<std::size_t>(arc.to)];
    if (arc.from < 0) return arc.gap <= to;
    Minutes& from = begins[static_cast<std::size_t>(arc.from)];
    if (from + arc.gap <= to) return true;
    const auto fit = time.last_fit(to - arc.gap, length(arc.from));
    if (!fit) return false;
    from = *fit;
    changed = true;
    return true;
  };
  while (changed) {
    changed = false;
    for (auto arc = order.rbegin(); arc != order.rend(); ++arc)
      if (!keep(*arc)) return false;
    for (const std::size_t batch : batches)
      for (auto arc = arcs_[batch].rbegin(); arc != arcs_[batch].rend(); ++arc)
        if (!keep(*arc)) return false;
  }
  return true;
}

std::optional<Times> PlanModel::earliest(const std::vector<std::size_t>& batches,
                                         const std::vector<Arc>& order,
                                         const FreeTime& time) const {
  Times begins(length_.size(), -unlimited / 2);
  for (const std::size_t batch : batches)
    for (int i = first_[batch]; i < first_[batch] + count(batch); ++i) {
      const auto fit = time.first_fit(problem_.batches[batch].not_before, length(i));
      if (!fit) return {};
      begins[static_cast<std::size_t>(i)] = *fit;
    }
  if (!raise(begins, batches, order, time)) return {};
  return begins;
}

std::optional<Times> PlanModel::latest(const std::vector<std::size_t>& batches,
                                       const std::vector<Arc>& order, const FreeTime& time,
                                       const std::vector<Minutes>& ready_until) const {
  Times begins(length_.size(), unlimited);
  for (const std::size_t batch : batches)
    for (std::size_t k = 0; k < problem_.batches[batch].tasks.size(); ++k) {
      const PlanTask& of = problem_.batches[batch].tasks[k];
      const auto fit = time.last_fit(ready_until[batch] - of.length - of.cure, of.length);
      if (!fit) return {};
      begins[static_cast<std::size_t>(task(batch, k))] = *fit;
    }
  if (!lower(begins, batches, order, time)) return {};
  return begins;
}

std::vector<Minutes> PlanModel::latest_ready(const Times& soonest) const {
  std::vector<Minutes> out;
  for (const std::size_t batch : all_)
    out.push_back(std::max(problem_.batches[batch].ready_by, ready(soonest, batch)));
  return out;
}

std::optional<PlanModel::Settled> PlanModel::settle(const std::vector<Arc>& order) const {
  auto soonest = earliest(all_, order, time_);
  if (!soonest) return {};
  std::vector<Minutes> until = latest_ready(*soonest);
  auto begins = latest(all_, order, time_, until);
  if (!begins) return {};
  const Score of = score(*begins);
  return Settled{std::move(*begins), of, std::move(*soonest), std::move(until)};
}

// One arc more makes the earliest times later or leaves them, and the latest earlier: what they
// were is where to go on from, and what comes out is the same.
std::optional<PlanModel::Settled> PlanModel::settle(const std::vector<Arc>& order,
                                                    const Settled& before,
                                                    const Score& known) const {
  Settled out;
  out.soonest = before.soonest;
  if (!raise(out.soonest, all_, order, time_)) return {};
  out.until = latest_ready(out.soonest);
  Score at_best = score(out.soonest);  // its lateness is that of the latest times too
  at_best.begins = std::numeric_limits<Minutes>::max();
  if (!at_best.better_than(known)) return {};
  if (out.until == before.until) {
    out.begins = before.begins;
    if (!lower(out.begins, all_, order, time_)) return {};
  } else {
    auto begins = latest(all_, order, time_, out.until);
    if (!begins) return {};
    out.begins = std::move(*begins);
  }
  out.score = score(out.begins);
  if (!out.score.better_than(known)) return {};
  return out;
}

std::optional<Sitting> PlanModel::on_rack(const Times& begins, std::size_t batch) const {
  const PlanBatch& of = problem_.batches[batch];
  if (of.boards == 0) return {};
  const Minutes from =
      of.onto_rack ? begins[static_cast<std::size_t>(task(batch, *of.onto_rack))] : -unlimited;
  if (of.last_on_rack) return Sitting{from, end(begins, task(batch, *of.last_on_rack)) + of.drying};
  if (of.off_rack) return Sitting{from, *of.off_rack};
  return {};
}

std::vector<std::size_t> PlanModel::crowd(const Times& begins, std::size_t batch) const {
  if (!problem_.rack || !problem_.batches[batch].onto_rack) return {};
  const Minutes at = on_rack(begins, batch)->from;
  std::vector<std::size_t> there;
  for (const std::size_t other : all_)
    if (other != batch)
      if (const auto stay = on_rack(begins, other); stay && stay->from <= at && at < stay->until)
        there.push_back(other);
  std::sort(there.begin(), there.end(), [&](std::size_t a, std::size_t b) {
    return std::pair(-problem_.batches[a].boards, a) < std::pair(-problem_.batches[b].boards, b);
  });
  int boards = problem_.batches[batch].boards;
  for (std::size_t i = 0; i < there.size(); ++i) {
    boards += problem_.batches[there[i]].boards;
    if (boards <= *problem_.rack) continue;
    there.resize(i + 1);
    there.push_back(batch);
    return there;
  }
  return {};
}

std::optional<Arc> PlanModel::after_leaving(std::size_t before, std::size_t then) const {
  const PlanBatch& leaving = problem_.batches[before];
  const PlanBatch& coming = problem_.batches[then];
  if (!coming.onto_rack) return {};
  const int onto = task(then, *coming.onto_rack);
  if (!leaving.last_on_rack) return Arc{-1, onto, *leaving.off_rack};
  const int last = task(before, *leaving.last_on_rack);
  return Arc{last, onto, length(last) + leaving.drying};
}

std::vector<Arc> PlanModel::order_of(const Times& begins) const {
  std::vector<int> tasks(length_.size());
  for (std::size_t i = 0; i < tasks.size(); ++i) tasks[i] = static_cast<int>(i);
  std::sort(tasks.begin(), tasks.end(), [&](int a, int b) {
    return begins[static_cast<std::size_t>(a)] < begins[static_cast<std::size_t>(b)];
  });
  std::vector<Arc> out;
  for (std::size_t i = 1; i < tasks.size(); ++i)
    out.push_back({tasks[i - 1], tasks[i], length(tasks[i - 1])});
  if (!problem_.rack) return out;
  for (const std::size_t before : all_)
    for (const std::size_t then : all_) {
      const auto left = on_rack(begins, before);
      const auto came = on_rack(begins, then);
      if (before == then || !left || !came || left->until > came->from) continue;
      if (const auto arc = after_leaving(before, then)) out.push_back(*arc);
    }
  return out;
}

}  // namespace trencher::engine
