// A small invented workshop for the tests of findings: one batch of two hard maple boards, glued
// with G1 and finished with F1, in a shop with a reading every six hours.
#pragma once

#include <catch2/catch.hpp>
#include <string>
#include <vector>

#include "engine/suitability.h"

namespace findings_fixture {

using namespace trencher;
using namespace trencher::engine;

// Hours after Monday 1 March 2027, 08:00 UTC.
inline Instant hour(double h) {
  return std::chrono::sys_days{
             Day{std::chrono::year{2027}, std::chrono::month{3}, std::chrono::day{1}}} +
         std::chrono::hours{8} + Seconds{static_cast<std::int64_t>(h * 3600)};
}
inline Moment moment(double h) { return {hour(h), 0}; }
inline Day march(unsigned day) {
  return {std::chrono::year{2027}, std::chrono::month{3}, std::chrono::day{day}};
}
inline Figure from_label(std::int64_t value) { return {value, false}; }
inline constexpr std::int64_t an_hour = 3600, a_day = 86400;

inline Species maple() {
  Species s;
  s.id = "hard-maple";
  s.common_name = "Hard maple (sugar maple)";
  s.botanical_name = "Acer saccharum";
  s.group = "hardwood";
  s.pore = "diffuse";
  s.side_hardness_n = 6400;
  s.food_code_named = true;
  return s;
}

// Readings of one temperature and humidity from ten days before to forty days after.
inline Stay steady(double temp_c, double rh_pct) {
  Stay stay;
  stay.from = hour(-240);
  stay.place.id = stay.place.name = "shop";
  for (int h = -240; h <= 960; h += 6)
    stay.readings.push_back({1, hour(h), Celsius{static_cast<std::int64_t>(temp_c * 1000)},
                             Percent{static_cast<std::int64_t>(rh_pct * 10)}});
  return stay;
}
inline Conditions shop(double temp_c = 20, double rh_pct = 45) {
  return Conditions({steady(temp_c, rh_pct)});
}
inline Conditions no_readings() {
  Stay stay;
  stay.from = hour(-240);
  stay.place.id = stay.place.name = "shop";
  return Conditions({stay});
}
inline Conditions declared(double temp_c, double rh_pct) {
  Stay stay;
  stay.from = hour(-240);
  stay.place.id = stay.place.name = "shop";
  stay.place.temp = Celsius{static_cast<std::int64_t>(temp_c * 1000)};
  stay.place.rh = Percent{static_cast<std::int64_t>(rh_pct * 10)};
  return Conditions({stay});
}

inline Step step(std::int64_t entry, std::string kind, double at,
                 std::vector<std::string> tins = {}) {
  Step s;
  s.entry = entry;
  s.kind = std::move(kind);
  s.batch = "27-001";
  s.at = moment(at);
  for (std::string& tin : tins) s.drawn.push_back({std::move(tin), {}, false});
  if (s.kind == "inspect") s.result = "sound";
  return s;
}

inline Statement food_statement(std::int64_t entry, std::string subject) {
  Statement s;
  s.entry = entry;
  s.subject = std::move(subject);
  s.about = "food-contact";
  return s;
}

// Everything in order: glued, rested, two coats within their window, inspected.
inline SuitabilityFacts good_facts() {
  SuitabilityFacts f;
  f.species["hard-maple"] = maple();
  WoodLot lot;
  lot.entry = 2;
  lot.at = moment(-200);
  lot.id = "W1";
  lot.species = "hard-maple";
  lot.common_name = "Hard maple (sugar maple)";
  lot.moisture = Percent{80};
  lot.treated = false;
  f.wood = {lot};

  GlueKind glue;
  glue.id = "pva-d3";
  glue.name = "PVA wood glue, water resistant";
  glue.mechanism = Mechanism::water_glue;
  glue.wet_use = "fine";
  f.glue_kinds["pva-d3"] = glue;
  Tin g;
  g.entry = 3;
  g.at = moment(-100);
  g.id = "G1";
  g.stock = "glue";
  g.kind = "pva-d3";
  g.name = "Bond";
  g.label.mechanism = Mechanism::water_glue;
  g.label.clamp = from_label(an_hour);
  g.label.full_cure = from_label(a_day);
  g.label.lowest_temp = from_label(10000);

  FinishKind oil;
  oil.id = "hardwax-oil";
  oil.name = "Hardwax oil";
  oil.mechanism = Mechanism::oxidative;
  oil.on_cutting_surface = "caution";
  oil.solvent = "none";
  f.finish_kinds["hardwax-oil"] = oil;
  Tin t;
  t.entry = 4;
  t.at = moment(-100);
  t.id = "F1";
  t.stock = "finish";
  t.kind = "hardwax-oil";
  t.name = "Board oil";
  t.label.mechanism = Mechanism::oxidative;
  t.label.coats = from_label(2);
  t.label.recoat_min = from_label(12 * an_hour);
  t.label.recoat_max = from_label(2 * a_day);
  t.label.handle = from_label(a_day);
  t.label.pack = from_label(5 * a_day);
  t.label.food_contact = from_label(14 * a_day);
  t.label.lowest_temp = from_label(12000);
  t.label.highest_rh = from_label(700);
  f.work.tins = {{"G1", g}, {"F1", t}};

  Batch& b = f.work.batch;
  b.entry = 5;
  b.code = "27-001";
  b.wood = {"W1"};
  b.glue = {"G1"};
  b.finish = {"F1"};
  b.pieces = 2;
  b.use = "serving-board";
  b.schedule.name = "oil";
  b.schedule.slots = {{Mechanism::oxidative}};
  ScheduleStep coat;
  coat.step = "coat";
  coat.slot = 1;
  b.schedule.steps = {coat};
  f.statements = {food_statement(6, "G1"), food_statement(7, "F1")};
  f.work.steps = {step(10, "glue-up", 0, {"G1"}), step(11, "coat", 30, {"F1"}),
                  step(12, "coat", 48, {"F1"}), step(13, "inspect", 100)};
  return f;
}

// The results of one check, joined by blanks: "fine", "caution stop"; empty where it is not made.
inline std::string results(const std::vector<Finding>& findings, const std::string& check) {
  std::string out;
  for (const Finding& f : findings)
    if (f.check == check) out += (out.empty() ? "" : " ") + std::string(to_string(f.result));
  return out;
}
inline std::string reason(const std::vector<Finding>& findings, const std::string& check) {
  for (const Finding& f : findings)
    if (f.check == check) return f.reason;
  return "no such finding";
}
inline std::string judged(const SuitabilityFacts& facts, const std::string& check,
                          const Conditions& conditions = shop(), double now = 500) {
  return results(suitability(facts, conditions, hour(now)), check);
}

}  // namespace findings_fixture
