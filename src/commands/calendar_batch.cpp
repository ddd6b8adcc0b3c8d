#include "commands/calendar_batch.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "book/queries.h"
#include "commands/describe.h"
#include "commands/upcoming.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

using exchange::CalendarAlarm;
using exchange::CalendarEvent;
using exchange::EventStatus;

// Ours: how long something takes that nobody gives minutes for, and the most that one event takes.
constexpr Seconds usual_length = std::chrono::minutes(15), longest_length = std::chrono::hours(8);
constexpr Seconds before_latest = std::chrono::hours(2);    // when a closing window rings
constexpr Seconds after_export = std::chrono::minutes(10);  // until the phone has the file
constexpr int morning = 9 * 60;  // when a whole day rings, minutes from midnight
constexpr const char* as_the_air_is = ". As the air is now";  // begins what is of the moment

// How things stand with some pieces.
struct Part {
  enum class Stage { done, passed, coming } stage = Stage::coming;
  std::vector<int> pieces;
  std::optional<Instant> at, latest;
  bool guessed = false;
  std::string detail;
  std::vector<std::string> why;  // of a guess
};

bool same_but_for_pieces(const Part& a, const Part& b) {
  return a.stage == b.stage && a.at == b.at && a.latest == b.latest && a.guessed == b.guessed &&
         a.detail == b.detail;
}

// The date on which a coming step waits.
std::string date_behind(const std::string& step) {
  if (step == "coat" || step == "scuff") return engine::next_coat;
  if (step == "sign-off") return engine::food_contact;
  return is_named_date(step) ? step : engine::flatten;
}

class BatchCalendar {
 public:
  BatchCalendar(Call& call, const BatchView& view) : call_(call), view_(view) {
    const std::vector<Group> groups = groups_of(view);
    for (const Group& group : groups) {
      add_done(group);
      if (group.standing.scrapped) continue;
      all_scrapped_ = false;
      const std::vector<engine::Date> dates = dates_of(view, group.pieces, call.now());
      const std::set<Thing> coming =
          group.standing.here() ? add_coming(group, dates) : std::set<Thing>();
      add_passed(group, dates, coming);
    }
    add_sign_offs();
  }

  std::map<Thing, CalendarEvent> events() {
    std::map<Thing, CalendarEvent> out;
    for (auto& [thing, parts] : parts_)
      if (auto event = event_of(thing, std::move(parts))) out.emplace(thing, std::move(*event));
    for (const std::int64_t coat : view_.facts.open_rags) {
      const Thing thing{0, fmt::format("rags-{}", coat)};
      out.emplace(thing, rags_event(thing, coat));
    }
    if (view_.batch().promised && !all_scrapped_)
      out.emplace(Thing{0, "promised"}, promised_event());
    return out;
  }

 private:
  void add(const Thing& thing, Part part) {
    std::vector<Part>& parts = parts_[thing];
    const auto same = std::find_if(parts.begin(), parts.end(), [&](const Part& other) {
      return same_but_for_pieces(part, other);
    });
    if (same == parts.end())
      parts.push_back(std::move(part));
    else
      same->pieces.insert(same->pieces.end(), part.pieces.begin(), part.pieces.end());
  }

  void add_done(const Group& group) {
    for (const auto& [step, thing] : group.log.done) {
      const auto entry = book::effective_entry(call_.book(), step->entry);
      add(thing,
          {Part::Stage::done,
           group.pieces,
           step->at.at,
           {},
           false,
           fmt::format("entry {}: {}", step->entry, describe(call_, step->kind, entry->body)),
           {}});
    }
  }

  std::set<Thing> add_coming(const Group& group, const std::vector<engine::Date>& dates) {
    std::set<Thing> out;
    for (Upcoming& item : upcoming(call_, view_, group.pieces)) {
      if (item.step == "promised") promise_is_open_ = true;
      if (item.step == "promised" || item.step == "rags") continue;
      const Thing thing = group.log.next(item.step);
      const engine::Date* date = find_date(dates, date_behind(item.step));
      out.insert(thing);
      if (item.pieces.empty()) item.pieces = group.pieces;
      add(thing,
          {Part::Stage::coming, std::move(item.pieces), item.earliest, item.latest, item.guessed,
           is_named_date(item.step) && item.step != "sign-off" ? words_of(thing)
                                                               : std::move(item.detail),
           date && date->guessed ? date->why : std::vector<std::string>()});
    }
    return out;
  }

  // Dates that no longer come, since they are past or the pieces have left.
  void add_passed(const Group& group, const std::vector<engine::Date>& dates,
                  const std::set<Thing>& coming) {
    const bool here = group.standing.here();
    for (const engine::Date& date : dates) {
      if (!is_named_date(date.name) || !date.at) continue;
      const Thing thing = group.log.next(date.name);
      if (coming.contains(thing)) continue;
      const bool stays =
          follows_last_coat(date.name)
              ? group.coats_are_on && (!here || *date.at <= call_.now())
              : group.log.glued && *date.at <= group.log.worked.value_or(call_.now());
      if (!stays) continue;
      // Reached, but the day that begins from then on is not there yet.
      const bool rings = here && takes_whole_day(thing) && morning_of(*date.at) > call_.now();
      add(thing, {rings ? Part::Stage::coming : Part::Stage::passed,
                  group.pieces,
                  date.at,
                  {},
                  date.guessed,
                  words_of(thing),
                  date.guessed ? date.why : std::vector<std::string>()});
    }
  }

  Instant morning_of(Instant date) const {
    return call_.zone().at(call_.zone().first_day_from(date), morning);
  }

  void add_sign_offs() {
    for (const SignOff& sign_off : book::sign_offs_of(call_.book(), view_.batch().code))
      for (const int piece : sign_off.pieces) {
        const Thing thing{standing_at(view_, piece, sign_off.at.at).way, "sign-off"};
        std::vector<Part>& parts = parts_[thing];
        if (std::any_of(parts.begin(), parts.end(), [&](const Part& part) {
              return part.stage == Part::Stage::coming && names_piece(part.pieces, piece);
            }))
          continue;  // it is open again
        add(thing, {Part::Stage::done,
                    {piece},
                    sign_off.at.at,
                    {},
                    false,
                    fmt::format("entry {}: sign-off", sign_off.entry),
                    {}});
      }
  }

  // What the event stands for: what some pieces need first, else what was last.
  static const Part* leading(const std::vector<Part>& parts) {
    const Part* lead = nullptr;
    for (const Part& part : parts) {
      if (!part.at) continue;
      const bool first = part.stage == Part::Stage::coming;
      if (!lead || part.stage > lead->stage ||
          (part.stage == lead->stage && (first ? *part.at < *lead->at : *part.at > *lead->at)))
        lead = &part;
    }
    return lead;
  }

  std::optional<CalendarEvent> event_of(const Thing& thing, std::vector<Part> parts) {
    for (Part& part : parts) std::sort(part.pieces.begin(), part.pieces.end());
    std::stable_sort(parts.begin(), parts.end(),
                     [](const Part& a, const Part& b) { return a.at && (!b.at || *a.at < *b.at); });
    const Part* lead = leading(parts);
    if (!lead) return {};
    const bool coming = lead->stage == Part::Stage::coming;
    CalendarEvent event;
    event.status = lead->guessed ? EventStatus::tentative : EventStatus::confirmed;
    event.summary = calendar_head(view_, lead->pieces) + ": " + summary_of(thing, *lead);
    event.description = description_of(thing, parts);
    event.start = *lead->at;
    event.length = length_of(thing, static_cast<int>(lead->pieces.size()));
    event.busy = coming && !takes_whole_day(thing);
    if (takes_whole_day(thing)) event.day = call_.zone().first_day_from(*lead->at);
    if (!coming) return event;
    event.alarms.push_back({event.day ? from_midnight(*event.day, 0) : Seconds(0), event.summary});
    for (const Part& part : parts)
      if (part.latest)
        event.alarms.push_back({*part.latest - before_latest - event.start,
                                fmt::format("{}: {}, latest {}; after that a scuff comes first",
                                            calendar_head(view_, part.pieces), words_of(thing),
                                            call_.show_time(*part.latest))});
    return event;
  }

  // From the midnight of a day to the morning of so many days before.
  Seconds from_midnight(Day day, int days_before) const {
    const Day other(std::chrono::sys_days(day) - std::chrono::days(days_before));
    return call_.zone().at(other, morning) - call_.zone().at(day);
  }

  static std::string summary_of(const Thing& thing, const Part& lead) {
    const std::string words = words_of(thing);
    std::string out = words;
    if (lead.stage == Part::Stage::done) return out + " done";
    if (thing.name == "sign-off" || thing.name.starts_with("scuff-"))
      out += ": " + lead.detail;
    else
      out = lead.detail.substr(0, lead.detail.find(as_the_air_is));
    return lead.guessed ? out + " (guessed)" : out;
  }

  std::string description_of(const Thing& thing, const std::vector<Part>& parts) const {
    std::vector<std::string> lines, why;
    bool guessed = false, window = false, only_done = true;
    for (const Part& part : parts) {
      lines.push_back(line_of(thing, part));
      guessed = guessed || part.guessed;
      window = window || part.latest;
      only_done = only_done && part.stage == Part::Stage::done;
      for (const std::string& reason : part.why)
        if (std::find(why.begin(), why.end(), reason) == why.end()) why.push_back(reason);
    }
    if (guessed)
      lines.push_back("Guessed: counted on usual waits or on conditions that nobody measured" +
                      (why.empty() ? "." : ": " + join(why, "; ") + "."));
    if (window) lines.emplace_back("After the latest moment a scuff comes first.");
    if (thing.name == engine::food_contact)
      lines.emplace_back("By label or usual wait; smell, tack or softness means not ready.");
    if (!only_done) lines.emplace_back("The product's label and local rules come first.");
    return join(lines, "\n");
  }

  std::string line_of(const Thing& thing, const Part& part) const {
    const bool all = static_cast<int>(part.pieces.size()) == view_.batch().pieces;
    std::string when = "at a time that is not known";
    if (part.at && thing.name == engine::food_contact)
      when = fmt::format("not before {} (reached {})", show(call_.zone().first_day_from(*part.at)),
                         call_.show_time(*part.at));
    else if (part.at)
      when = (part.stage == Part::Stage::done ? "done " : "from ") + call_.show_time(*part.at);
    if (part.latest) when += ", latest " + call_.show_time(*part.latest);
    if (part.guessed) when += " (guessed)";
    return fmt::format("{}, {}: {}{}", all ? "All boards" : "Of " + name_pieces(part.pieces), when,
                       part.detail, part.detail.ends_with('.') ? "" : ".");
  }

  Seconds length_of(const Thing& thing, int pieces) {
    const std::string kind = thing.name.substr(0, thing.name.rfind('-'));
    const auto& own = call_.settings().minutes;
    std::optional<int> minutes;
    if (const auto found = own.find(kind); found != own.end()) minutes = found->second;
    if (const Schedule* schedule = schedule_of(thing.way); schedule && !minutes)
      for (const ScheduleStep& step : schedule->steps)
        if (step.step == kind && !minutes) minutes = step.minutes;
    return minutes ? std::min<Seconds>(std::chrono::minutes(*minutes) * pieces, longest_length)
                   : usual_length;
  }

  const Schedule* schedule_of(std::int64_t way) const {
    if (way == 0) return &view_.batch().schedule;
    for (const Turn& turn : view_.facts.work.turns)
      if (turn.entry == way && turn.schedule) return &*turn.schedule;
    return nullptr;
  }

  CalendarEvent rags_event(const Thing& thing, std::int64_t coat) {
    CalendarEvent event;
    event.start = book::effective_entry(call_.book(), coat)->happened.at;
    event.length = usual_length;
    event.summary =
        fmt::format("{}: {}: out flat or under water", view_.batch().code, words_of(thing));
    event.description =
        "Rags with this finish can heat up and burn by themselves. Lay them out flat or put them "
        "under water, then log rags-done.\nThe product's label and local rules come first.";
    // At once: a phone passes over alarms that are past when it takes the file in.
    event.alarms = {
        {std::max(Seconds(0), call_.now() + after_export - event.start), event.summary}};
    return event;
  }

  CalendarEvent promised_event() {
    CalendarEvent event;
    event.day = *view_.batch().promised;
    event.summary = view_.batch().code + ": " + words_of({0, "promised"});
    event.busy = false;
    if (!promise_is_open_) return event;
    const std::string soon =
        fmt::format("{}: promised for {}", view_.batch().code, show(*event.day));
    event.alarms = {{from_midnight(*event.day, 2), soon}, {from_midnight(*event.day, 0), soon}};
    return event;
  }

  Call& call_;
  const BatchView& view_;
  std::map<Thing, std::vector<Part>> parts_;
  bool promise_is_open_ = false, all_scrapped_ = true;
};

}  // namespace

std::map<Thing, CalendarEvent> live_events(Call& call, const BatchView& view) {
  return BatchCalendar(call, view).events();
}

std::string calendar_head(const BatchView& view, const std::vector<int>& pieces) {
  const std::vector<int>& counting = view.facts.work.pieces;  // empty: all
  const std::size_t all =
      counting.empty() ? static_cast<std::size_t>(view.batch().pieces) : counting.size();
  return pieces.size() < all ? view.batch().code + " " + name_pieces(pieces) : view.batch().code;
}

}  // namespace trencher::commands
