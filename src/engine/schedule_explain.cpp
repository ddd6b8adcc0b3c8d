#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "engine/schedule.h"

namespace trencher::engine {
namespace {

std::string degrees(double celsius, Units units) {
  return units == Units::us ? fmt::format("{:.1f} °F", celsius * 9 / 5 + 32)
                            : fmt::format("{:.1f} °C", celsius);
}

std::string hours(double seconds) { return fmt::format("{:.1f} h", seconds / 3600); }

// What the label asks: "label: 24 h at 20 °C".
std::string asked(const Wait& wait, Units units) {
  std::string out = fmt::format("{}: {:g} h", wait.label.usual ? "usual for its kind" : "label",
                                static_cast<double>(wait.label.value) / 3600);
  if (wait.law.activation_k > 0)
    out += " at " + show(Celsius{std::llround(wait.law.reference_c * 1000)}, units);
  if (wait.direction == Direction::shortest && reference_humidity_counts(wait.law))
    out += fmt::format(" and {:g} %", wait.law.reference_rh_pct);
  return out;
}

std::string part_line(const CurePart& part, Units units, const LocalTime& local) {
  std::string means;
  if (part.mean_temp_c) {
    means = " at " + degrees(*part.mean_temp_c, units) + (part.steady ? "" : " mean");
    if (part.mean_rh_pct) means += fmt::format(", {:.0f} %", *part.mean_rh_pct);
  }
  const double elapsed = static_cast<double>((part.to - part.from).count());
  std::string cold;
  if (part.below_lowest_s > 0)
    cold = fmt::format(" ({} of it too cold to count)", hours(part.below_lowest_s));
  return fmt::format("{} to {}: {}{}{} → factor {:.4f} → {}", show(local(part.from)),
                     show(local(part.to)), hours(elapsed), means, cold, part.factor,
                     hours(part.cure_s));
}

// The law with the numbers of the first part whose temperature is known, for a calculator.
void add_formula(std::vector<std::string>& lines, const Wait& wait, Units units) {
  const CureLaw& law = wait.law;
  const bool shortest = wait.direction == Direction::shortest;
  const auto& parts = wait.reached.parts;
  const auto known = std::find_if(parts.begin(), parts.end(), [](const CurePart& part) {
    return part.mean_temp_c.has_value();
  });
  if (law.activation_k == 0 && !(shortest && (law.lowest_c || humidity_counts(law)))) {
    lines.push_back("every hour counts in full: temperature and humidity have no bearing on it");
    return;
  }
  if (known == parts.end()) return;
  if (law.activation_k > 0) {
    std::string line = fmt::format(
        "factor = exp(−Q (1/T − 1/Tref)) = {:.4f}, Q = {:.1f} K, T = {:.2f} K, Tref = {:.2f} K, "
        "counted as {}",
        arrhenius(law.activation_k, *known->mean_temp_c, law.reference_c), law.activation_k,
        *known->mean_temp_c + zero_celsius_k, law.reference_c + zero_celsius_k,
        shortest ? "1 at most" : "1 at least");
    if (shortest && humidity_counts(law))
      line += fmt::format(", times {:.4f} for humidity", humidity_factor(law, known->mean_rh_pct));
    lines.push_back(line);
  }
  if (shortest && law.lowest_c)
    lines.push_back(fmt::format("below {} nothing counts",
                                show(Celsius{std::llround(*law.lowest_c * 1000)}, units)));
  if (std::any_of(parts.begin(), parts.end(), [](const CurePart& part) { return !part.steady; }))
    lines.push_back(
        "where conditions change, the factor is the mean over time, not that of the mean");
}

}  // namespace

std::vector<std::string> explain(const Date& date, Units units, const LocalTime& local) {
  std::vector<std::string> lines, said;
  if (const auto& wait = date.wait) {
    lines.push_back(fmt::format("from {}: {} {}{}", show(local(wait->start)), wait->tin,
                                wait->tin_name,
                                wait->entry ? fmt::format(" (entry {})", wait->entry)
                                            : std::string(" (a coat still to come)")));
    lines.push_back(asked(*wait, units));
    double sum = 0;
    for (const CurePart& part : wait->reached.parts) {
      lines.push_back(part_line(part, units, local));
      if (part.guessed) {
        lines.push_back("guessed: " + part.why);
        said.push_back(part.why);
      }
      sum += part.cure_s;
    }
    add_formula(lines, *wait, units);
    lines.push_back(
        wait->reached.at
            ? fmt::format("sum {} reached {}", hours(sum), show(local(*wait->reached.at)))
            : fmt::format("sum {}, never reached as conditions stand", hours(sum)));
  }
  for (const std::string& reason : date.why)
    if (std::find(said.begin(), said.end(), reason) == said.end())
      lines.push_back((date.at ? "guessed: " : "") + reason);
  if (date.scuff_first)
    lines.push_back("the longest wait between coats ends first, or is over: scuff before the coat");
  return lines;
}

}  // namespace trencher::engine
