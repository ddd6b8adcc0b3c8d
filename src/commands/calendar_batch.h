// What the calendar holds of one batch as the book stands.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "commands/calendar_things.h"
#include "exchange/icalendar.h"

namespace trencher::commands {

// What is to come, at the moment from which on it may be done, with alarms; dates that are past;
// and steps that were done, at their time. What has no known time is left out.
std::map<Thing, exchange::CalendarEvent> live_events(Call& call, const BatchView& view);

// Before what the maker reads: "26-014", "26-014 pieces 1-3".
std::string calendar_head(const BatchView& view, const std::vector<int>& pieces);

}  // namespace trencher::commands
