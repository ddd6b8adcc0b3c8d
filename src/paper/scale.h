// The value axis of a chart.
#pragma once

#include <vector>

namespace trencher::paper {

struct Scale {
  double low = 0;
  double high = 1;
  double step = 1;  // between ticks: 1, 2 or 5 times a power of ten
  double position(double value) const { return (value - low) / (high - low); }  // 0 to 1
  std::vector<double> ticks() const;
};

// From a tick at or below `low` to a tick at or above `high`, with at most `most` steps between.
// Equal ends are moved apart.
Scale round_scale(double low, double high, int most);

}  // namespace trencher::paper
