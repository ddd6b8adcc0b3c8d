#include "engine/amounts.h"

#include <fmt/format.h>

#include <cmath>

#include "domain/error.h"

namespace trencher::engine {
namespace {

constexpr std::int64_t ul_per_l = 1'000'000;
constexpr std::int64_t ends_um = 100'000, between_clamps_um = 225'000;
constexpr double fibre_saturation_pct = 28;

// REQUIRES: by above 0, value above -by.
std::int64_t divide_up(std::int64_t value, std::int64_t by) { return (value + by - 1) / by; }

}  // namespace

Amount coat_amount(const Size& size, std::int64_t boards, Coverage coverage) {
  if (coverage.cm2_per_l <= 0)
    throw Error::request(
        fmt::format("A coverage of {} cm2/l must be above 0.", coverage.cm2_per_l));
  return {Amount::Measure::volume,
          divide_up(surface_cm2(size) * boards * ul_per_l, coverage.cm2_per_l)};
}

Amount glue_amount(const Size& size, std::int64_t boards, int strips) {
  if (strips < 1)
    throw Error::request(fmt::format("A board of {} strips must have at least 1.", strips));
  const std::int64_t joint_um2 = size.length.um * size.thickness.um;
  // g/m2 is 1,000 mg over 10^12 um2.
  constexpr std::int64_t um2_per_mg = 1'000'000'000 / glue_g_per_m2;
  return {Amount::Measure::mass, divide_up((strips - 1) * boards * joint_um2, um2_per_mg)};
}

int clamp_count(Length length) {
  return static_cast<int>(divide_up(length.um - ends_um, between_clamps_um)) + 1;
}

Coverage coverage_at_thickness(Length wet) {
  if (wet.um <= 0)
    throw Error::request(fmt::format("A wet thickness of {} um must be above 0.", wet.um));
  // 1,000 / um in m2/l, at 10,000 cm2 each.
  return {10'000'000 / wet.um};
}

Length wood_movement(Length width, double points, double shrink_pct) {
  return {std::llround(static_cast<double>(width.um) * points / fibre_saturation_pct * shrink_pct /
                       100)};
}

}  // namespace trencher::engine
