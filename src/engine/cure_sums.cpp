#include "engine/cure_sums.h"

#include <algorithm>
#include <cmath>
#include <limits>

#include "engine/cure_ramp.h"

namespace trencher::engine {

// After A. Neumaier's form of Kahan's summation (1974), from memory.
void LongSum::add(double value) {
  const double sum = sum_ + value;
  rounded_off_ += std::abs(sum_) >= std::abs(value) ? (sum_ - sum) + value : (value - sum) + sum_;
  sum_ = sum;
}

double CureSums::packed(const std::optional<double>& value) {
  return value.value_or(std::numeric_limits<double>::quiet_NaN());
}

std::optional<double> CureSums::unpacked(double value) {
  return std::isnan(value) ? std::nullopt : std::optional(value);
}

void CureSums::add(const Stretch& stretch) {
  const Ramp ramp(rule_for(direction_), law_, stretch);
  At& from = sums_.back();
  std::string why = guess_of(direction_, law_, stretch);
  from.temp_from = packed(stretch.temp_from_c);
  from.temp_to = packed(stretch.temp_to_c);
  from.rh_from = packed(stretch.rh_from_pct);
  from.rh_to = packed(stretch.rh_to_pct);
  from.steady = ramp.steady();
  const At* before = sums_.size() > 1 ? &sums_[sums_.size() - 2] : nullptr;
  const auto temp_before = before ? unpacked(before->temp_from) : std::nullopt;
  const auto rh_before = before ? unpacked(before->rh_from) : std::nullopt;
  const bool same_kind = before && whys_[before->kind] == why &&
                         temp_before.has_value() == stretch.temp_from_c.has_value() &&
                         rh_before.has_value() == stretch.rh_from_pct.has_value();
  const bool same_values = from.steady && before && temp_before == stretch.temp_from_c &&
                           rh_before == stretch.rh_from_pct;
  int pieces = 0;
  double cure = 0;
  ramp.pieces([&](double a, double b) {
    cure += ramp.integral(a, b);
    ++pieces;
    return true;
  });
  from.is_tame = pieces == 1;
  const double length = ramp.length();
  cure_.add(cure);
  if (!same_kind) whys_.push_back(std::move(why));
  from.kind = static_cast<std::uint32_t>(whys_.size() - 1);
  At to = from;
  to.cure = cure_.value();
  to.below_lowest += ramp.below_lowest(length);
  // The mean of a line is its middle.
  if (stretch.temp_from_c) to.temp += length * *ramp.temp(length / 2);
  if (stretch.rh_from_pct) to.rh += length * *ramp.rh(length / 2);
  if (!same_values) ++to.changing;
  sums_.push_back(to);
}

void CureSums::cover(const Conditions& conditions, const PlaceLog& log, std::size_t first,
                     std::size_t last) {
  if (sums_.empty() || first < begin_) {
    // Twice as far back as it went, so that going back again and again costs no more than once.
    const std::size_t more = sums_.size();
    const CureLaw law = law_;
    *this = CureSums(law, direction_);
    begin_ = first - std::min(first, more);
    sums_.reserve(log.temp().points.size() - begin_);  // what is not reached takes no memory
    sums_.emplace_back();
  }
  if (last <= end()) return;
  conditions.each_stretch(log, end(), last, worse_for(law_, direction_),
                          [&](const Stretch& stretch) { add(stretch); });
}

CureSums::Single CureSums::single(const PlaceLog& log, std::size_t span) const {
  const auto& points = log.temp().points;
  const At& from = at(span);
  Single out{{}, &whys_[from.kind], {}};
  out.stretch.from = points[span].first;
  out.stretch.to = points[span + 1].first;
  out.stretch.temp_from_c = unpacked(from.temp_from);
  out.stretch.temp_to_c = unpacked(from.temp_to);
  out.stretch.rh_from_pct = unpacked(from.rh_from);
  out.stretch.rh_to_pct = unpacked(from.rh_to);
  if (from.is_tame) out.cure_s = at(span + 1).cure - from.cure;
  return out;
}

CureSums::Run CureSums::run(const Conditions& conditions, const PlaceLog& log, std::size_t first,
                            std::size_t last) {
  cover(conditions, log, first, last);
  const std::size_t kind = at(first).kind;
  Run out;
  out.first = first;
  out.last = last;
  if (at(last - 1).kind != kind)
    out.last = reading(std::partition_point(place(first), place(last),
                                            [&](const At& span) { return span.kind == kind; }));
  const At &from = at(out.first), &to = at(out.last);
  out.cure_s = to.cure - from.cure;
  out.below_lowest_s = to.below_lowest - from.below_lowest;
  out.temp_c = unpacked(from.temp_from);
  out.rh_pct = unpacked(from.rh_from);
  out.temp_sum = to.temp - from.temp;
  out.rh_sum = to.rh - from.rh;
  out.steady = from.steady && to.changing == at(out.first + 1).changing;
  out.why = &whys_[kind];
  return out;
}

std::optional<std::size_t> CureSums::reached(const Conditions& conditions, const PlaceLog& log,
                                             std::size_t first, std::size_t last, double cure_s) {
  cover(conditions, log, first, first);
  std::size_t known = std::min(last, end());
  for (std::size_t step = 32;; step *= 2) {
    const double wanted = at(first).cure + cure_s;
    if (known > first && at(known).cure >= wanted) return first_with(wanted, first, known);
    if (known == last) return {};
    known = std::min(last, known + step);
    cover(conditions, log, first, known);
  }
}

std::size_t CureSums::first_with(double cure, std::size_t low, std::size_t high) const {
  // Looked for first where it would be if cure ran evenly.
  for (int i = 0; i < 2 && high - low > 2; ++i) {
    const double from = at(low).cure, to = at(high).cure;
    const double share = std::clamp((cure - from) / std::max(to - from, slack_s), 0.0, 1.0);
    const auto steps = static_cast<std::size_t>(share * static_cast<double>(high - low));
    const std::size_t middle = std::clamp(low + steps, low + 1, high - 1);
    (at(middle).cure < cure ? low : high) = middle;
  }
  return reading(std::partition_point(place(low + 1), place(high),
                                      [&](const At& sum) { return sum.cure < cure; }));
}

CureSums& CureMemory::sums(const CureLaw& law, Direction direction) {
  for (CureSums& sums : sums_)
    if (sums.is_of(law, direction)) return sums;
  return sums_.emplace_back(law, direction);
}

}  // namespace trencher::engine
