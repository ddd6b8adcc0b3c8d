// How a finish or a glue turns from wet to ready. The engines take rate and humidity factor from
// it; the names are stored in entries and tables, so never rename one.
#pragma once

#include <array>
#include <string>
#include <string_view>
#include <utility>

#include "domain/error.h"

namespace trencher {

enum class Mechanism {
  non_drying,           // oil that never cures: soak and wipe off
  wax_set,              // wax that stiffens on cooling or as its carrier leaves
  oxidative,            // takes up oxygen; its rags can heat themselves
  solvent_evaporation,  // the solvent leaves; water where the kind is water-borne
  coalescing,           // a dispersion that fuses to a film above a lowest temperature
  two_part,             // resin and hardener react
  water_glue,           // water leaves the joint
  moisture_glue,        // takes up water from air and wood
  none,                 // nothing dries or reacts
};

namespace detail {
inline constexpr std::array<std::pair<Mechanism, std::string_view>, 9> mechanism_names{{
    {Mechanism::non_drying, "non-drying"},
    {Mechanism::wax_set, "wax-set"},
    {Mechanism::oxidative, "oxidative"},
    {Mechanism::solvent_evaporation, "solvent-evaporation"},
    {Mechanism::coalescing, "coalescing"},
    {Mechanism::two_part, "two-part"},
    {Mechanism::water_glue, "water-glue"},
    {Mechanism::moisture_glue, "moisture-glue"},
    {Mechanism::none, "none"},
}};
}  // namespace detail

inline std::string_view to_string(Mechanism mechanism) {
  for (const auto& [value, name] : detail::mechanism_names)
    if (value == mechanism) return name;
  return "none";
}

// Throws Error (request) where `name` is no mechanism.
inline Mechanism parse_mechanism(std::string_view name) {
  std::string known;
  for (const auto& [value, text] : detail::mechanism_names) {
    if (text == name) return value;
    known += known.empty() ? "" : ", ";
    known += text;
  }
  throw Error::request("The mechanism '" + std::string(name) + "' is not one of: " + known + ".");
}

}  // namespace trencher
