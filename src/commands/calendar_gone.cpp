#include "commands/calendar_gone.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "book/kinds.h"
#include "book/queries.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

using exchange::CalendarEvent;

struct Written {
  book::Entry entry;
  Json body;
};

// The batch as the book told of it at some entry.
class Past {
 public:
  Past(Call& call, const std::string& batch, const BatchView* now) : call_(call), batch_(batch) {
    if (now) {
      state_.emplace(*now);
    } else {
      const BatchRecord unknown;
      state_.emplace(BatchView{unknown, engine::Conditions({engine::Stay{}}), {}, {}});
    }
    for (const book::Effective& e : book::history_of(call.book(), batch)) read(e.entry);
    // An amendment names no batch, only its entry.
    std::vector<std::int64_t> rest;
    for (const auto& [number, written] : entries_) rest.push_back(number);
    while (!rest.empty()) {
      const std::int64_t number = rest.back();
      rest.pop_back();
      for (const book::Entry& amendment : book::amendments_of(call.book(), number))
        if (read(amendment)) rest.push_back(amendment.number);
    }
  }

  const std::map<std::int64_t, Written>& entries() const { return entries_; }
  const BatchView& state() const { return *state_; }

  // Reads the book up to `last`. Nothing where the batch is not there then.
  bool stand_at(std::int64_t last) {
    engine::BatchWork& work = state_->facts.work;
    work.steps.clear();
    work.turns.clear();
    work.pieces.clear();
    state_->gifts.clear();
    state_->scraps.clear();
    sign_offs_.clear();
    rags_.clear();
    bool is_there = false;
    const auto amended = amendments(last);
    for (const auto& [number, written] : entries_) {
      if (number > last || book::is_amendment(written.entry.kind)) continue;
      const auto found = amended.find(number);
      if (found != amended.end() && found->second.struck) continue;
      const Json* body = &written.body;
      Moment happened = written.entry.happened;
      if (found != amended.end() && found->second.correction) {
        const Json& correction = *found->second.correction;
        body = &correction.at("body");
        if (const auto at = correction.maybe_text("happened_at"))
          happened = {instant_from_iso(*at),
                      static_cast<int>(correction.integer("happened_offset"))};
      }
      is_there = take(written.entry, *body, happened) || is_there;
    }
    if (!is_there) return false;
    const auto by_time = [](const auto& a, const auto& b) {
      return std::tie(a.at.at, a.entry) < std::tie(b.at.at, b.entry);
    };
    std::sort(work.steps.begin(), work.steps.end(), by_time);
    std::sort(work.turns.begin(), work.turns.end(), by_time);
    load_tins();
    return true;
  }

  // What the calendar would have held then. Of dates it is not asked whether they are known.
  std::set<Thing> things() {
    std::set<Thing> out;
    bool any_left = false;
    for (const Group& group : groups_of(*state_)) {
      for (const auto& [step, thing] : group.log.done) out.insert(thing);
      if (group.standing.scrapped) continue;
      any_left = true;
      if (group.coats_are_on)
        for (const char* name : {engine::handle, engine::pack, engine::food_contact})
          out.insert(group.log.next(name));
      if (group.standing.here()) add_coming(group, out);
    }
    if (any_left && state_->batch().promised) out.insert({0, "promised"});
    for (const SignOff& sign_off : sign_offs_)
      for (const int piece : sign_off.pieces)
        out.insert({standing_at(*state_, piece, sign_off.at.at).way, "sign-off"});
    for (const std::int64_t coat : rags_) out.insert({0, fmt::format("rags-{}", coat)});
    return out;
  }

  // Whether that date was known then for pieces that waited for it, and not past at `after`.
  bool had_date(const Thing& thing, Instant now, Instant after) const {
    for (const Group& group : groups_of(*state_)) {
      const bool waits = follows_last_coat(thing.name) ? group.coats_are_on : waits_for_glue(group);
      if (group.log.way != thing.way || group.standing.scrapped || !waits) continue;
      engine::BatchWork work = state_->facts.work;
      work.pieces = group.pieces;
      const auto dates = engine::dates(work, 0, state_->conditions, now);
      const engine::Date* date = find_date(dates, thing.name);
      if (!date || !date->at) continue;
      const Zone& zone = call_.zone();
      const Instant past =
          takes_whole_day(thing) ? zone.at(zone.first_day_from(*date->at), 24 * 60) : *date->at;
      if (past > after) return true;
    }
    return false;
  }

 private:
  struct Amended {
    const Json* correction = nullptr;  // the latest that counts
    bool struck = false;
  };

  bool read(const book::Entry& entry) {
    return entries_.emplace(entry.number, Written{entry, book::parse_body(entry.body)}).second;
  }

  // From the last to the first: what strikes an amendment is always a later entry.
  std::map<std::int64_t, Amended> amendments(std::int64_t last) const {
    std::map<std::int64_t, Amended> out;
    for (auto at = std::make_reverse_iterator(entries_.upper_bound(last)); at != entries_.rend();
         ++at) {
      const Written& written = at->second;
      if (!book::is_amendment(written.entry.kind)) continue;
      if (const auto own = out.find(at->first); own != out.end() && own->second.struck) continue;
      Amended& target = out[written.body.integer("entry")];
      if (written.entry.kind == "strike")
        target.struck = true;
      else if (!target.correction)
        target.correction = &written.body;
    }
    return out;
  }

  template <typename Value>
  static Value with(Value value, const book::Entry& entry, Moment happened) {
    value.entry = entry.number;
    value.at = happened;
    return value;
  }

  // Whether it is the batch itself.
  bool take(const book::Entry& entry, const Json& body, Moment happened) {
    engine::BatchWork& work = state_->facts.work;
    if (entry.kind == "batch") {
      work.batch = with(Batch::read(body), entry, happened);
      return true;
    }
    if (book::is_step(entry.kind)) {
      work.steps.push_back(with(Step::read(entry.kind, body), entry, happened));
      if (work.steps.back().rags) rags_.insert(entry.number);
    } else if (book::is_turn(entry.kind)) {
      work.turns.push_back(with(Turn::read(entry.kind, body), entry, happened));
    } else if (entry.kind == "scrap") {
      state_->scraps.push_back(with(Scrap::read(body), entry, happened));
    } else if (entry.kind == "give") {
      state_->gifts.push_back(with(Gift::read(body), entry, happened));
    } else if (entry.kind == "sign-off") {
      sign_offs_.push_back(with(SignOff::read(body), entry, happened));
    } else if (entry.kind == "rags-done") {
      for (const std::int64_t coat : RagsDone::read(body).coats) rags_.erase(coat);
    }
    return false;
  }

  // Those that a struck entry named may not be among today's.
  void load_tins() {
    const engine::BatchWork& work = state_->facts.work;
    std::set<std::string> ids(work.batch.finish.begin(), work.batch.finish.end());
    ids.insert(work.batch.glue.begin(), work.batch.glue.end());
    for (const Turn& turn : work.turns) ids.insert(turn.finish.begin(), turn.finish.end());
    for (const Step& step : work.steps)
      for (const Drawn& part : step.drawn) ids.insert(part.tin);
    for (const std::string& id : ids)
      if (!work.tins.contains(id) && book::find_tin(call_.book(), id))
        state_->facts.work.tins.merge(load_mix(call_, id));
  }

  static bool waits_for_glue(const Group& group) { return group.log.glued && !group.log.worked; }

  static void add_coming(const Group& group, std::set<Thing>& out) {
    const auto add = [&](const std::string& step) { out.insert(group.log.next(step)); };
    if (waits_for_glue(group)) {
      add(engine::clamps_off);
      add(engine::flatten);
    }
    const std::string& next = group.progress.next_step;
    add(next.empty() ? "sign-off" : next);
    if (next == "scuff") add("coat");
  }

  Call& call_;
  std::string batch_;
  std::map<std::int64_t, Written> entries_;
  std::optional<BatchView> state_;
  std::vector<SignOff> sign_offs_;
  std::set<std::int64_t> rags_;  // open
};

// The entry that an amendment is about in the end.
const Written& root_of(const Past& past, const Written& written) {
  const Written* at = &written;
  while (book::is_amendment(at->entry.kind)) at = &past.entries().at(at->body.integer("entry"));
  return *at;
}

bool is_date(const Thing& thing) {
  return is_named_date(thing.name) && thing.name != "sign-off" && thing.name != "promised";
}

class Gone {
 public:
  Gone(Call& call, const std::string& batch, const BatchView* now, const std::set<Thing>& live)
      : call_(call), batch_(batch), live_(live), past_(call, batch, now) {}

  std::map<Thing, CalendarEvent> all() {
    std::set<Thing> before;
    std::int64_t entry_before = 0;
    std::map<Thing, CalendarEvent> out;
    for (const auto& [number, written] : past_.entries()) {
      static const std::set<std::string> of_no_account{"note", "card", "dealt", "readings"};
      if (of_no_account.contains(written.entry.kind)) continue;
      std::set<Thing> after;
      if (past_.stand_at(number)) after = past_.things();
      std::vector<Thing> vanished;
      std::set_difference(before.begin(), before.end(), after.begin(), after.end(),
                          std::back_inserter(vanished));
      for (const Thing& thing : after) out.erase(thing);
      std::erase_if(vanished, [&](const Thing& thing) { return live_.contains(thing); });
      if (!vanished.empty()) past_.stand_at(entry_before);
      for (const Thing& thing : vanished)
        if (auto event = cancelled(thing, written)) out.emplace(thing, std::move(*event));
      before = std::move(after);
      entry_before = number;
    }
    return out;
  }

 private:
  // `by` took it away; past_ stands before that.
  std::optional<CalendarEvent> cancelled(const Thing& thing, const Written& by) {
    const bool amended = book::is_amendment(by.entry.kind);
    const Written& cause = root_of(past_, by);
    CalendarEvent event;
    event.start = cause.entry.happened.at;
    // What took it away after it had come leaves it as it was; a mistake is taken back.
    const Instant after = amended ? Instant::min() : by.entry.happened.at;
    if (is_date(thing) && !past_.had_date(thing, by.entry.written_at, after)) return {};
    if (thing.name.starts_with("rags-"))
      for (const Step& step : past_.state().facts.work.steps)
        if (thing.name == fmt::format("rags-{}", step.entry)) event.start = step.at.at;
    if (takes_whole_day(thing)) event.day = local_day(call_.zone().moment(event.start));
    event.length = std::chrono::minutes(15);
    event.status = exchange::EventStatus::cancelled;
    event.busy = false;
    const std::string words = words_of(thing);
    event.summary = fmt::format("{}: {}: {}", batch_, words.substr(0, words.find_first_of(",:")),
                                by.entry.kind == "rags-done" ? "dealt with" : "cancelled");
    event.description =
        amended
            ? fmt::format("Taken away by the {} of entry {} ({}), entry {}.", by.entry.kind,
                          cause.entry.number, cause.entry.kind, by.entry.number)
            : fmt::format("No longer to come since entry {} ({}).", by.entry.number, by.entry.kind);
    return event;
  }

  Call& call_;
  const std::string& batch_;
  const std::set<Thing>& live_;
  Past past_;
};

}  // namespace

std::map<Thing, CalendarEvent> gone_events(Call& call, const std::string& batch,
                                           const BatchView* now, const std::set<Thing>& live) {
  return Gone(call, batch, now, live).all();
}

}  // namespace trencher::commands
