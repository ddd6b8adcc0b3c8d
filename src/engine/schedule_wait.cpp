#include "engine/schedule_wait.h"

#include <fmt/format.h>

#include <cmath>

namespace trencher::engine {
namespace {

std::string named(const Tins& tins, const std::string& id) {
  if (id.empty()) return "a coat of a finish that is not recorded";
  const auto tin = tins.find(id);
  return tin == tins.end() ? id : id + " " + tin->second.name;
}

}  // namespace

std::string_view words_for(WaitField field) {
  if (field == &Label::recoat_min) return "shortest wait between coats";
  if (field == &Label::recoat_max) return "longest wait between coats";
  if (field == &Label::handle) return "wait to handling";
  if (field == &Label::pack) return "wait to packing";
  if (field == &Label::food_contact) return "wait to food contact";
  return field == &Label::clamp ? "clamp time" : "full cure";
}

std::optional<Wait> wait_of(const Tins& tins, const Use& use, WaitField field,
                            const Conditions& conditions, Direction direction) {
  const auto tin = tins.find(use.tin);
  if (tin == tins.end() || !(tin->second.label.*field)) return {};
  Wait wait;
  wait.entry = use.entry;
  wait.tin = tin->first;
  wait.tin_name = tin->second.name;
  wait.start = use.start;
  wait.label = *(tin->second.label.*field);
  wait.direction = direction;
  wait.law = cure_law(tin->second.label);
  wait.reached =
      when_reached(wait.law, wait.start, Seconds(wait.label.value), conditions, direction);
  return wait;
}

std::string no_figure(const Tins& tins, const std::string& tin, WaitField field) {
  return fmt::format(
      "no {} is known for {}: neither its label nor the usual range of its kind "
      "gives one",
      words_for(field), named(tins, tin));
}

std::string never(const Wait& wait, Units units) {
  std::string cause;
  if (!wait.reached.parts.empty() && wait.reached.parts.back().factor == 0) {
    const bool cold = wait.reached.parts.back().below_lowest_s > 0;
    cause = cold ? fmt::format(": below {} nothing cures",
                               show(Celsius{std::llround(*wait.law.lowest_c * 1000)}, units))
                 : std::string(": in air this damp, or this dry, nothing cures");
  }
  return fmt::format(
      "as conditions stand, the wait of {} of {} {} is not reached within ten years{}",
      show(Seconds(wait.label.value)), wait.tin, wait.tin_name, cause);
}

}  // namespace trencher::engine
