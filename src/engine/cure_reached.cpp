#include <algorithm>
#include <cmath>

#include "engine/cure_ramp.h"
#include "engine/cure_sums.h"

namespace trencher::engine {
namespace {

constexpr Seconds farthest{3653 * std::int64_t{86400}};  // ten years

using Points = std::vector<std::pair<Instant, double>>;

// The first point that is not before. Looked for first where it would be if they were evenly apart,
// as a logger's are.
Points::const_iterator first_from(const Points& points, Instant at) {
  const auto is_before = [](const auto& point, Instant time) { return point.first < time; };
  auto low = points.begin(), high = points.end();
  if (points.size() > 2 && points.front().first < at && at <= points.back().first) {
    const auto whole = (points.back().first - points.front().first).count();
    const auto share = static_cast<double>((at - points.front().first).count());
    const auto last = static_cast<double>(points.size() - 1);
    const auto guess = low + static_cast<std::ptrdiff_t>(share / static_cast<double>(whole) * last);
    if (guess->first < at) {
      low = guess + 1;
      if (at <= low->first) return low;
    } else {
      high = guess;
      if (std::prev(guess)->first < at) return guess;
    }
  }
  return std::lower_bound(low, high, at, is_before);
}

// Calls, in order of time and until one returns false, `loose` for stretches that a reading does
// not bound on both sides and `whole` for the readings first to last of a log, all of them within
// the time.
template <class Loose, class Whole>
void walk(const Conditions& conditions, Instant from, Instant to, Worse worse, Loose loose,
          Whole whole) {
  conditions.each_stay(from, to, [&](const PlaceLog& log, Instant begin, Instant end) {
    const auto& points = log.temp().points;
    const auto first = first_from(points, begin);
    if (first == points.end() || first->first > end)
      return loose(conditions.stretch(log, begin, end, worse));
    if (first->first > begin && !loose(conditions.stretch(log, begin, first->first, worse)))
      return false;
    const auto behind =
        points.back().first <= end
            ? points.end()
            : std::upper_bound(first, points.end(), end,
                               [](Instant at, const auto& point) { return at < point.first; });
    const auto last = std::prev(behind);
    if (last != first && !whole(log, static_cast<std::size_t>(first - points.begin()),
                                static_cast<std::size_t>(last - points.begin())))
      return false;
    return last->first >= end || loose(conditions.stretch(log, last->first, end, worse));
  });
}

// Calls `use` for each run of one kind among the spans first to last - 1.
template <class Use>
void each_run(CureSums& sums, const Conditions& conditions, const PlaceLog& log, std::size_t first,
              std::size_t last, Use use) {
  while (first < last) {
    const CureSums::Run run = sums.run(conditions, log, first, last);
    use(run);
    first = run.last;
  }
}

// Some time of one kind, for a line of the arithmetic.
struct Piece {
  Instant from, to;
  std::optional<double> temp_c, rh_pct;  // where it begins
  double temp_sum = 0, rh_sum = 0;       // degrees and per cent by seconds
  double elapsed_s = 0, cure_s = 0, below_lowest_s = 0;
  bool steady = true;
};

// Gathers pieces of one kind into one line of the arithmetic.
class Parts {
 public:
  void add(const Piece& piece, const std::string& why) {
    const bool joins = !parts_.empty() && parts_.back().why == why &&
                       parts_.back().mean_temp_c.has_value() == piece.temp_c.has_value() &&
                       parts_.back().mean_rh_pct.has_value() == piece.rh_pct.has_value();
    if (!joins) {
      CurePart& part = parts_.emplace_back();
      part.from = piece.from;
      part.mean_temp_c = piece.temp_c;
      part.mean_rh_pct = piece.rh_pct;
      part.guessed = !why.empty();
      part.why = why;
      elapsed_ = temp_sum_ = rh_sum_ = 0;
      start_temp_ = piece.temp_c;
      start_rh_ = piece.rh_pct;
    }
    CurePart& part = parts_.back();
    part.steady =
        part.steady && piece.steady && start_temp_ == piece.temp_c && start_rh_ == piece.rh_pct;
    part.to = piece.to;
    part.cure_s += piece.cure_s;
    part.below_lowest_s += piece.below_lowest_s;
    elapsed_ += piece.elapsed_s;
    temp_sum_ += piece.temp_sum;
    rh_sum_ += piece.rh_sum;
    if (elapsed_ > 0) {
      part.factor = part.cure_s / elapsed_;
      if (part.steady) return;
      if (piece.temp_c) part.mean_temp_c = temp_sum_ / elapsed_;
      if (piece.rh_pct) part.mean_rh_pct = rh_sum_ / elapsed_;
    }
  }
  std::vector<CurePart> take() { return std::move(parts_); }

 private:
  std::vector<CurePart> parts_;
  double elapsed_ = 0, temp_sum_ = 0, rh_sum_ = 0;  // of the last part
  std::optional<double> start_temp_, start_rh_;
};

// Follows one wait to its end.
class Wait {
 public:
  Wait(const CureLaw& law, Instant start, Seconds wait, const Conditions& conditions,
       Direction direction)
      : law_(law),
        conditions_(conditions),
        direction_(direction),
        start_(start),
        wait_(wait),
        need_(static_cast<double>(wait.count())) {}

  Reached end() {
    walk(
        conditions_, start_, start_ + farthest, worse_for(law_, direction_),
        [&](const Stretch& stretch) {
          return go_through(stretch, guess_of(direction_, law_, stretch), {});
        },
        [&](const PlaceLog& log, std::size_t first, std::size_t last) {
          return go_through(log, first, last);
        });
    reached_.parts = parts_.take();
    return std::move(reached_);
  }

 private:
  // Both return whether the wait goes on behind.
  // `tame_gain`: what all of it gives, where its rate is smooth and tame throughout.
  bool go_through(const Stretch& stretch, const std::string& why,
                  const std::optional<double>& tame_gain) {
    const bool shortest = direction_ == Direction::shortest;
    const Ramp ramp(rule_for(direction_), law_, stretch);
    double cure = 0, length = ramp.length();
    bool done = false;
    const auto go = [&](double a, double b) {
      const double gain = tame_gain ? *tame_gain : ramp.integral(a, b);
      done = gain >= need_ - slack_s && gain > 0;
      if (done) {
        length = ramp.crossing(a, b, gain, std::min(gain, need_));
        cure += need_;
        return false;
      }
      need_ -= gain;
      cure += gain;
      return true;
    };
    if (tame_gain)
      go(0, length);
    else
      ramp.pieces(go);
    Instant end = stretch.to;
    if (done) {
      const double whole = shortest ? std::ceil(length - slack_s) : std::floor(length + slack_s);
      end = stretch.from + Seconds(static_cast<std::int64_t>(whole));
      end = shortest ? std::max(end, start_ + wait_) : std::min(end, start_ + wait_);
      reached_.at = end;
    }
    Piece piece{stretch.from, end, ramp.temp(0), ramp.rh(0)};
    // The mean of a line is its middle.
    if (piece.temp_c) piece.temp_sum = length * *ramp.temp(length / 2);
    if (piece.rh_pct) piece.rh_sum = length * *ramp.rh(length / 2);
    piece.elapsed_s = length;
    piece.cure_s = cure;
    piece.below_lowest_s = ramp.below_lowest(length);
    piece.steady = ramp.steady();
    add(piece, why);
    return !done;
  }

  bool go_through(const PlaceLog& log, std::size_t first, std::size_t last) {
    CureSums& sums = log.memory().sums(law_, direction_);
    while (first < last) {
      // Sums may differ from those of single spans by less than the slack; which decide.
      const auto end = sums.reached(conditions_, log, first, last, need_ - 2 * slack_s);
      const std::size_t before = end ? *end - 1 : last;
      each_run(sums, conditions_, log, first, before,
               [&](const CureSums::Run& run) { add(log, run); });
      if (!end) return true;
      const CureSums::Single last_span = sums.single(log, before);
      if (!go_through(last_span.stretch, *last_span.why, last_span.cure_s)) return false;
      first = *end;
    }
    return true;
  }

  void add(const PlaceLog& log, const CureSums::Run& run) {
    const auto& points = log.temp().points;
    Piece piece{points[run.first].first, points[run.last].first, run.temp_c, run.rh_pct};
    piece.temp_sum = run.temp_sum;
    piece.rh_sum = run.rh_sum;
    piece.elapsed_s = static_cast<double>((piece.to - piece.from).count());
    piece.cure_s = run.cure_s;
    piece.below_lowest_s = run.below_lowest_s;
    piece.steady = run.steady;
    need_ -= run.cure_s;
    add(piece, *run.why);
  }

  void add(const Piece& piece, const std::string& why) {
    reached_.guessed = reached_.guessed || !why.empty();
    parts_.add(piece, why);
  }

  const CureLaw& law_;
  const Conditions& conditions_;
  Direction direction_;
  Instant start_;
  Seconds wait_;
  double need_;  // seconds still to be gained
  Reached reached_;
  Parts parts_;
};

double cure_between(const CureLaw& law, Instant start, Instant now, const Conditions& conditions,
                    bool by_readings) {
  if (now <= start) return 0;
  double sum = 0;
  walk(
      conditions, start, now, worse_for(law, Direction::shortest),
      [&](const Stretch& stretch) {
        if (!by_readings || guess_of(Direction::shortest, law, stretch).empty())
          sum += total(Rule::shortest, law, stretch);
        return true;
      },
      [&](const PlaceLog& log, std::size_t first, std::size_t last) {
        each_run(log.memory().sums(law, Direction::shortest), conditions, log, first, last,
                 [&](const CureSums::Run& run) {
                   if (!by_readings || run.why->empty()) sum += run.cure_s;
                 });
        return true;
      });
  return sum;
}

}  // namespace

Reached when_reached(const CureLaw& law, Instant start, Seconds wait, const Conditions& conditions,
                     Direction direction) {
  if (wait <= Seconds(0)) {
    Reached reached;
    reached.at = start;
    return reached;
  }
  return Wait(law, start, wait, conditions, direction).end();
}

double cure_so_far(const CureLaw& law, Instant start, Instant now, const Conditions& conditions) {
  return cure_between(law, start, now, conditions, false);
}

double cure_by_readings(const CureLaw& law, Instant start, Instant now,
                        const Conditions& conditions) {
  return cure_between(law, start, now, conditions, true);
}

}  // namespace trencher::engine
