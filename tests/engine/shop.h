// Batches, tins and schedules for the tests of the schedule.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "engine/schedule.h"
#include "weather.h"

namespace trencher::engine::shop {

using namespace weather;

inline Figure h(int hours) { return Figure{hours * 3600}; }
inline Figure usual_h(int hours) { return Figure{hours * 3600, true}; }

inline Tin tin(const std::string& id, const std::string& name, Mechanism mechanism) {
  Tin out;
  out.id = id;
  out.name = name;
  out.stock = id.starts_with("G") ? "glue" : "finish";
  out.label.mechanism = mechanism;
  return out;
}

// A glue, a hardening oil and a wax with labels that say everything.
inline Tin glue() {
  Tin out = tin("G1", "wood glue", Mechanism::water_glue);
  out.label.clamp = h(1);
  out.label.full_cure = h(24);
  out.label.lowest_temp = Figure{12000};
  return out;
}
inline Tin oil() {
  Tin out = tin("F1", "hard oil", Mechanism::oxidative);
  out.label.coats = Figure{3};
  out.label.recoat_min = h(24);
  out.label.handle = h(48);
  out.label.pack = h(14 * 24);
  out.label.food_contact = h(30 * 24);
  out.label.lowest_temp = Figure{10000};
  return out;
}
inline Tin wax() {
  Tin out = tin("F2", "paste wax", Mechanism::wax_set);
  out.label.coats = Figure{1};
  out.label.recoat_min = h(12);
  out.label.handle = h(4);
  out.label.pack = h(48);
  out.label.food_contact = h(48);
  return out;
}
// Two-part, with an upper window.
inline Tin varnish() {
  Tin out = tin("F3", "varnish", Mechanism::two_part);
  out.label.coats = Figure{2};
  out.label.recoat_min = h(12);
  out.label.recoat_max = h(24);
  out.label.handle = h(24);
  out.label.pack = h(10 * 24);
  out.label.food_contact = h(30 * 24);
  return out;
}

inline ScheduleStep plan(const std::string& kind, int slot = 0, std::optional<int> count = {}) {
  ScheduleStep out;
  out.step = kind;
  out.slot = slot;
  out.count = count;
  return out;
}

inline BatchWork batch(const std::vector<Tin>& tins, std::vector<ScheduleStep> steps) {
  BatchWork out;
  out.batch.code = "26-014";
  out.batch.pieces = 4;
  for (const Tin& t : tins) {
    (t.stock == "glue" ? out.batch.glue : out.batch.finish).push_back(t.id);
    out.tins[t.id] = t;
  }
  out.batch.schedule.steps = std::move(steps);
  return out;
}

inline void log(BatchWork& work, const std::string& kind, Instant at,
                const std::vector<std::string>& tins = {}, std::vector<int> pieces = {}) {
  Step step;
  step.entry = static_cast<std::int64_t>(work.steps.size()) + 10;
  step.at = {at, 0};
  step.kind = kind;
  step.pieces = std::move(pieces);
  for (const std::string& id : tins) step.drawn.push_back({id, {}, false});
  work.steps.push_back(step);
}

inline const std::vector<ScheduleStep> oil_steps{
    plan("sand"), plan("raise-grain", 0, 2), plan("coat", 1), plan("scuff", 1), plan("inspect")};

// The house of an even 20 °C and 50 %, read for 100 days.
inline const Conditions& house() {
  static const Conditions conditions = in_garage(steady(2400, 20, 50));
  return conditions;
}

inline const Date* find(const std::vector<Date>& all, const std::string& name) {
  for (const Date& date : all)
    if (date.name == name) return &date;
  return nullptr;
}
inline Date date_of(const BatchWork& work, const std::string& name, const Conditions& conditions,
                    Instant now, int piece = 0) {
  const auto all = dates(work, piece, conditions, now);
  const Date* found = find(all, name);
  INFO(name);
  REQUIRE(found);
  return *found;
}
inline std::string names(const std::vector<Date>& all) {
  std::string out;
  for (const Date& date : all) out += (out.empty() ? "" : " ") + date.name + (date.at ? "" : "?");
  return out;
}

}  // namespace trencher::engine::shop
