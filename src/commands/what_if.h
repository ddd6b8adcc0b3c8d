// Conditions that somebody asks about: "what if it were 12 °C from now on?" Nothing is written.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "commands/call.h"
#include "engine/conditions.h"

namespace trencher::commands {

struct WhatIf {
  std::optional<Celsius> temp;
  std::optional<Percent> rh;
  bool any() const { return temp || rh; }
  // The same place, with these conditions from `now` on.
  engine::SharedStay from(Instant now, const engine::SharedStay& stay) const;
  std::string text(Units units) const;  // "12 °C and 60 %"
};

// --if temp=12C, --if rh=60.
void declare_what_if(Call& call, std::vector<std::string>& words);
// Error::request for what is neither, stands twice or is no such quantity.
WhatIf parse_what_if(const std::vector<std::string>& words);

}  // namespace trencher::commands
