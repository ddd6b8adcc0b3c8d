#include "paper/scale.h"

#include <cmath>

namespace trencher::paper {

std::vector<double> Scale::ticks() const {
  std::vector<double> out;
  const auto count = std::lround((high - low) / step);
  for (long i = 0; i <= count; ++i) out.push_back(low + static_cast<double>(i) * step);
  return out;
}

Scale round_scale(double low, double high, int most) {
  if (high - low < 1) {
    const double middle = (low + high) / 2;
    low = middle - 0.5;
    high = middle + 0.5;
  }
  for (double power = std::pow(10, std::floor(std::log10((high - low) / most)));; power *= 10)
    for (const double digit : {1.0, 2.0, 5.0}) {
      const double step = digit * power;
      const double first = std::floor(low / step);
      const double last = std::ceil(high / step);
      if (last - first <= most) return {first * step, last * step, step};
    }
}

}  // namespace trencher::paper
