// The dates of many batches over one log of 30 days, every 10 minutes.
//
//   dates engine BATCHES [short]   the engine's when_reached(), as `when` and `due` use it
//   dates exp BATCHES [short]      exp() for each sample and batch, summed until the wait is over
//
// Waits run over most of the log, as those for food contact do; short ones over some days of it.
// Both print the sum of the dates and each tenth of them, which agree to ten minutes.
#include <fmt/format.h>

#include <cmath>
#include <cstdlib>
#include <functional>
#include <memory>
#include <string_view>
#include <vector>

#include "domain/error.h"
#include "engine/cure.h"

namespace {

using namespace trencher;
using namespace trencher::engine;

constexpr std::int64_t step_s = 600, samples = 30 * 86400 / step_s;
const Instant begin = instant_from_iso("2026-01-05T00:00:00Z");

double temperature(std::int64_t i) {
  return 17 + 3 * std::sin(double(i % 144) / 144 * 6.283185) + double((i * 7919) % 10) / 20;
}

Label label() {
  Label out;
  out.mechanism = Mechanism::oxidative;
  out.reference_temp = Figure{20'000, false};
  out.lowest_temp = Figure{5'000, false};
  return out;
}

// When batches begin, from the log's own beginning on, and how long they wait.
struct Waits {
  std::int64_t begin_days, shortest_days;

  Instant begun(std::int64_t batch, std::int64_t batches) const {
    return begin + Seconds(batch * begin_days * 86400 / batches / step_s * step_s);
  }
  Seconds wait(std::int64_t batch) const { return Seconds((shortest_days + batch % 5) * 86400); }
};
constexpr Waits over_the_log{2, 18}, some_days{20, 3};

Instant by_engine(const CureLaw& law, const Conditions& conditions, Instant from, Seconds needed) {
  return when_reached(law, from, needed, conditions).at.value();
}

Instant by_exp(const CureLaw& law, const std::vector<Reading>& log, Instant from, Seconds needed) {
  double cure = 0;
  const double wanted = double(needed.count());
  for (std::size_t i = std::size_t((from - begin).count() / step_s); i + 1 < log.size(); ++i) {
    const double mean = (log[i].temp.degrees() + log[i + 1].temp.degrees()) / 2;
    const double warm = std::exp(
        -law.activation_k * (1 / (mean + zero_celsius_k) - 1 / (law.reference_c + zero_celsius_k)));
    const double gain = double(step_s) * std::min(1.0, warm) * humidity_factor(law, 50.0);
    if (cure + gain >= wanted)
      return log[i].at + Seconds(std::int64_t(std::ceil((wanted - cure) / gain * double(step_s))));
    cure += gain;
  }
  throw Error::request("The log ends before the wait.");
}

std::vector<Reading> the_log() {
  std::vector<Reading> log;
  log.reserve(samples + 1);
  for (std::int64_t i = 0; i <= samples; ++i)
    log.push_back(
        {0, begin + Seconds(i * step_s), {std::int64_t(temperature(i) * 1000)}, Percent{500}});
  return log;
}

void print_dates(std::int64_t batches, const Waits& waits,
                 const std::function<Instant(Instant from, Seconds wait)>& reached) {
  std::int64_t sum = 0;
  for (std::int64_t batch = 0; batch < batches; ++batch) {
    const Instant at = reached(waits.begun(batch, batches), waits.wait(batch));
    sum += (at - begin).count();
    if (batch % std::max<std::int64_t>(1, batches / 10) == 0)
      fmt::print("{} {}\n", batch, (at - begin).count());
  }
  fmt::print("mean {}\n", sum / batches);
}

}  // namespace

int main(int count, char** words) {
  if (count != 3 && count != 4) return 2;
  const Waits waits = count == 4 ? some_days : over_the_log;
  const std::int64_t batches = std::atoll(words[2]);
  const CureLaw law = cure_law(label());
  try {
    if (std::string_view(words[1]) == "engine") {
      const Place garage{"garage", "Garage", {}, {}};
      const Conditions conditions({{begin, std::make_shared<PlaceLog>(garage, the_log())}},
                                  at_offset(0), Units::metric);
      print_dates(batches, waits, [&](Instant from, Seconds wait) {
        return by_engine(law, conditions, from, wait);
      });
    } else {
      const std::vector<Reading> log = the_log();
      print_dates(batches, waits,
                  [&](Instant from, Seconds wait) { return by_exp(law, log, from, wait); });
    }
  } catch (const std::exception& failure) {
    fmt::print(stderr, "{}\n", failure.what());
    return 2;
  }
  return 0;
}
