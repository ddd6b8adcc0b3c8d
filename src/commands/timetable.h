// What the workshop says of its time and room: hours, days off, market days, the rack, minutes.
#pragma once

#include <functional>
#include <string>
#include <vector>

#include "commands/call.h"
#include "engine/plan.h"

namespace trencher::commands {

const std::vector<std::string>& timetable_settings();  // hours, days-off, market-days, ...
// `trencher workshop <what> ...`: reads the words, writes the entry.
int set_timetable(Call& call, const std::string& what);

// Writes the workshop's settings as `apply` changes them. Nothing is written where nothing changes.
int change_workshop(Call& call, const std::function<void(Workshop&)>& apply);

// The maker's hours of those days, without days off and market days, in minutes since `origin`.
std::vector<engine::Sitting> sittings_of(Call& call, Instant origin, Day first, Day last);

// For showing: from today on where they have a day.
std::string hours_text(const Workshop& workshop);
std::string days_off_text(Call& call);
std::string market_days_text(Call& call);
std::string rack_text(const Workshop& workshop);
std::string minutes_text(const Workshop& workshop);

}  // namespace trencher::commands
