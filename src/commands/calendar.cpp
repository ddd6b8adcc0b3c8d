#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "book/kinds.h"
#include "book/queries.h"
#include "commands/calendar_batch.h"
#include "commands/calendar_gone.h"
#include "commands/command.h"
#include "commands/output_file.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"
#include "exchange/icalendar.h"

namespace trencher::commands {
namespace {

constexpr std::chrono::days remembered{30};  // so long the calendar goes on about what has ended

// Batches of which something ended lately: pieces left or were scrapped, rags were dealt with, an
// entry was amended. Read from the last entry back, so that old work costs nothing.
void add_recent(Call& call, std::set<std::string>& batches) {
  const Instant since = call.now() - remembered;
  for (std::int64_t number = call.book().entry_count(); number > 0; --number) {
    auto entry = call.book().entry(number);
    if (!entry) continue;  // lost
    if (entry->written_at < since) return;
    static const std::set<std::string> endings{"give", "scrap", "rags-done"};
    if (!book::is_amendment(entry->kind) && !endings.contains(entry->kind)) continue;
    while (entry && book::is_amendment(entry->kind))
      entry = call.book().entry(book::parse_body(entry->body).integer("entry"));
    if (!entry) continue;
    if (const auto batch = book::parse_body(entry->body).maybe_text("batch"))
      batches.insert(*batch);
  }
}

std::set<std::string> batches_to_tell(Call& call) {
  std::set<std::string> out;
  for (std::string& batch : book::open_batches(call.book())) out.insert(std::move(batch));
  for (const auto& [entry, batch] : book::all_open_rags(call.book())) out.insert(batch);
  add_recent(call, out);
  return out;
}

std::vector<exchange::CalendarEvent> events_of(Call& call, const std::string& batch,
                                               KnownShop& known) {
  std::map<Thing, exchange::CalendarEvent> events;
  std::optional<BatchView> view;
  if (book::find_batch(call.book(), batch)) {  // else it is struck
    view.emplace(view_batch(call, batch, known));
    events = live_events(call, *view);
  }
  std::set<Thing> live;
  for (const auto& [thing, event] : events) live.insert(thing);
  events.merge(gone_events(call, batch, view ? &*view : nullptr, live));
  std::vector<exchange::CalendarEvent> out;
  for (auto& [thing, event] : events) {
    event.uid = uid_of(batch, thing, call.book().id());
    out.push_back(std::move(event));
  }
  return out;
}

}  // namespace

int calendar(Call& call) {
  std::string typed;
  call.option("-o", "FILE", typed, "the calendar file to write, as boards.ics");
  call.parse();
  const std::filesystem::path path = need_calendar_path(call, typed);
  exchange::Calendar calendar{call.settings().zone, call.now(), call.book().entry_count(), {}};
  std::int64_t batches = 0;
  KnownShop known;
  for (const std::string& batch : batches_to_tell(call)) {
    auto events = events_of(call, batch, known);
    if (events.empty()) continue;
    ++batches;
    std::move(events.begin(), events.end(), std::back_inserter(calendar.events));
  }
  if (calendar.events.empty())
    throw Error::request(fmt::format(
        "There is nothing to write in a calendar: {}. No file was written.",
        book::open_batches(call.book()).empty()
            ? "no batch is open, and none was closed in the last 30 days; 'trencher batch' makes "
              "one"
            : "nothing has been done yet with the open batches, and no coming date is known"));
  write_file_whole(path, exchange::icalendar(calendar, call.zone()));
  const auto count = static_cast<std::int64_t>(calendar.events.size());
  const auto cancelled = std::count_if(
      calendar.events.begin(), calendar.events.end(),
      [](const auto& event) { return event.status == exchange::EventStatus::cancelled; });
  if (call.json())
    return call.done(Json::object()
                         .set("file", path.string())
                         .set("events", count)
                         .set("cancelled", static_cast<std::int64_t>(cancelled))
                         .set("batches", batches));
  call.say(fmt::format(
      "{} for {} {} in {}{}. Open the file on the phone to take them in; a newer "
      "file brings them up to date and doubles nothing.",
      count_of(count, "event"), count_of(batches, "batch", "batches"), count == 1 ? "is" : "are",
      path.string(), cancelled ? fmt::format(", {} of them cancelled", cancelled) : ""));
  return 0;
}

}  // namespace trencher::commands
