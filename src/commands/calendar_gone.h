// What a calendar that was written before may hold of a batch and this one no longer does: it must
// be said, or the phone rings for it.
#pragma once

#include <map>
#include <set>
#include <string>

#include "commands/calendar_things.h"
#include "exchange/icalendar.h"

namespace trencher::commands {

// Cancelled events, at the time of the step that was struck, or of what took their place. `live` is
// what the batch has now; `now` its view, null where the batch itself is struck. The book is read
// as it stood after each of its entries about the batch; the tins' figures are those of today.
// Dates that had come before something else took their place are left as they are.
std::map<Thing, exchange::CalendarEvent> gone_events(Call& call, const std::string& batch,
                                                     const BatchView* now,
                                                     const std::set<Thing>& live);

}  // namespace trencher::commands
