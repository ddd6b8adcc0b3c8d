#include "commands/record_chart.h"

#include <fmt/format.h>

#include <algorithm>

#include "paper/phrases.h"

namespace trencher::commands {
namespace {

constexpr Seconds longest_axis = std::chrono::days(120);  // beyond it the days would run together
constexpr int cure_points = 48;                           // a line of a page's width needs no more

class Axis {
 public:
  Axis(Instant from, Instant until) : from_(from), until_(until) {}
  double hours(Instant at) const { return static_cast<double>((at - from_).count()) / 3600.0; }
  Instant from() const { return from_; }
  Instant until() const { return until_; }

 private:
  Instant from_, until_;
};

// Joins the stretch before it where that one ends at this point and is as sure: a jump must not be
// drawn as a slope that nobody measured.
void add(paper::ChartLine& line, bool guessed, paper::ChartPoint from, paper::ChartPoint to) {
  const auto joins = [&](const paper::ChartStretch& stretch) {
    const paper::ChartPoint& end = stretch.points.back();
    return stretch.guessed == guessed && end.hours == from.hours && end.value == from.value;
  };
  if (line.stretches.empty() || !joins(line.stretches.back()))
    line.stretches.push_back({guessed, {from}});
  line.stretches.back().points.push_back(to);
}

double in_units(double celsius, Units units) {
  return units == Units::us ? celsius * 9 / 5 + 32 : celsius;
}

void lay_conditions(Call& call, const BatchView& view, const Axis& axis,
                    paper::ChartContent& chart) {
  chart.temperature_unit = call.units() == Units::us ? "°F" : "°C";
  chart.temperature.label = "temperature";
  chart.humidity.label = "humidity";
  for (const engine::Stretch& part : view.conditions.of(0).between(axis.from(), axis.until())) {
    const double a = axis.hours(part.from), b = axis.hours(part.to);
    if (part.temp_from_c && part.temp_to_c)
      add(chart.temperature, part.guessed, {a, in_units(*part.temp_from_c, call.units())},
          {b, in_units(*part.temp_to_c, call.units())});
    if (part.rh_from_pct && part.rh_to_pct)
      add(chart.humidity, part.guessed, {a, *part.rh_from_pct}, {b, *part.rh_to_pct});
  }
}

void lay_cure(const BatchView& view, const std::vector<engine::Date>& dates, const Axis& axis,
              const paper::Words& words, paper::ChartContent& chart) {
  for (const engine::Date& date : dates) {
    if (!date.wait || date.name == engine::next_coat_by || date.wait->label.value <= 0) continue;
    const engine::Wait& wait = *date.wait;
    const Instant end = std::min(wait.reached.at.value_or(axis.until()), axis.until());
    if (wait.start >= end) continue;
    paper::ChartLine line{words("date-" + date.name), {}};
    double share = 0;
    Instant at = wait.start;
    for (int i = 1; i <= cure_points; ++i) {
      const Instant next = wait.start + Seconds((end - wait.start).count() * i / cure_points);
      const double now =
          std::min(1.0, engine::cure_so_far(wait.law, wait.start, next, view.conditions.of(0)) /
                            static_cast<double>(wait.label.value));
      const bool guessed = std::any_of(wait.reached.parts.begin(), wait.reached.parts.end(),
                                       [&](const engine::CurePart& part) {
                                         return part.guessed && part.from < next && at < part.to;
                                       });
      add(line, guessed, {axis.hours(at), share}, {axis.hours(next), now});
      at = next;
      share = now;
    }
    chart.cure.push_back(std::move(line));
  }
}

}  // namespace

std::optional<paper::ChartContent> record_chart(Call& call, const BatchView& view,
                                                const std::vector<engine::Date>& dates,
                                                const paper::Language& language) {
  std::optional<Instant> first;
  Instant last{};
  for (const Step& step : view.facts.work.steps)
    if (step.kind == "glue-up" || step.kind == "coat" || step.kind == "fit") {
      if (!first) first = step.at.at;
      last = std::max(last, step.at.at);
    }
  if (!first) return {};
  for (const engine::Date& date : dates)
    if (date.at) last = std::max(last, *date.at);
  const Axis axis(*first, std::min(std::max(last, *first + Seconds(86400)), *first + longest_axis));
  paper::ChartContent chart;
  chart.from = language.long_moment(call.zone().moment(axis.from()));
  chart.until = language.long_moment(call.zone().moment(axis.until()));
  chart.length_hours = axis.hours(axis.until());
  for (std::chrono::sys_days day(local_day(call.zone().moment(axis.from())));;) {
    day += std::chrono::days(1);
    // Noon exists on every day; twelve hours before it lies midnight, or an hour beside it when the
    // clocks change, which the drawing does not show.
    const Instant begins =
        call.zone().parse(iso(Day(day)) + " 12:00", call.now(), "day").at - std::chrono::hours(12);
    if (begins >= axis.until()) break;
    if (begins >= axis.from())
      chart.days.push_back({axis.hours(begins), language.short_date(Day(day))});
  }
  int coats = 0;
  for (const Step& step : view.facts.work.steps) {
    if (step.at.at > axis.until()) continue;
    if (step.kind == "glue-up") chart.steps.push_back({axis.hours(step.at.at), "glue-up"});
    if (step.kind == "coat")
      chart.steps.push_back({axis.hours(step.at.at), fmt::format("coat {}", ++coats)});
  }
  lay_conditions(call, view, axis, chart);
  lay_cure(view, dates, axis, paper::Words("record", language.id()), chart);
  if (call.now() > axis.from() && call.now() < axis.until())
    chart.now_hours = axis.hours(call.now());
  return chart;
}

}  // namespace trencher::commands
