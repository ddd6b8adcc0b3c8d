#include "engine/schedule.h"

#include <fmt/format.h>

#include <algorithm>
#include <cmath>

#include "domain/text.h"
#include "engine/schedule_history.h"
#include "engine/schedule_wait.h"

namespace trencher::engine {
namespace {

// A use and the wait that is asked of it.
struct Need {
  Use use;
  WaitField field;
};

std::vector<Need> need(const std::vector<Use>& uses, WaitField field) {
  std::vector<Need> out;
  for (const Use& use : uses) out.push_back({use, field});
  return out;
}

// Works out the dates of one piece.
class Reckoner {
 public:
  Reckoner(const BatchWork& work, const Conditions& conditions, Instant now,
           const PieceHistory& history)
      : work_(work), conditions_(conditions), now_(now), history_(history) {}

  std::vector<Date> all() {
    if (!work_.batch.glue.empty() || !history_.glue_ups().empty()) {
      add(latest(clamps_off, need(history_.glue_ups(), &Label::clamp)), "no glue-up is logged yet");
      add(latest(flatten, need(history_.glue_ups(), &Label::full_cure)),
          "no glue-up is logged yet");
    }
    const auto rest = history_.to_come();
    if (!rest.empty()) add_next_coat();
    if (history_.has_plan() || !history_.coats().empty()) {
      const auto projected = project(rest);
      add_after_coats(handle, &Label::handle, projected, rest.size());
      add_after_coats(pack, &Label::pack, projected, rest.size());
      add_after_coats(food_contact, &Label::food_contact, projected, rest.size());
    } else {
      add(latest(food_contact, all_glue()), "nothing is logged yet that has to cure");
    }
    return std::move(dates_);
  }

 private:
  struct Projection {
    std::vector<Use> uses;             // of the coats to come
    std::vector<std::string> failure;  // why there is none
  };

  void add(Date date, const char* why_absent) {
    if (!date.at && date.why.empty()) date.why.push_back(why_absent);
    dates_.push_back(std::move(date));
  }

  Date latest(const char* name, const std::vector<Need>& needs) const {
    return decide(name, needs, Direction::shortest);
  }

  // The last of the waits to end (Direction::longest: the first).
  Date decide(const char* name, const std::vector<Need>& needs, Direction direction) const {
    Date date;
    date.name = name;
    std::vector<std::pair<const Need*, Wait>> waits;
    for (const Need& need : needs) {
      // The same product begun later ends later, whatever the conditions.
      const bool outlasted =
          direction == Direction::shortest &&
          std::any_of(&need + 1, needs.data() + needs.size(), [&](const Need& other) {
            return other.use.tin == need.use.tin && other.field == need.field &&
                   other.use.start >= need.use.start;
          });
      if (outlasted) continue;
      if (auto wait = wait_of(work_.tins, need.use, need.field, conditions_, direction))
        waits.emplace_back(&need, std::move(*wait));
      else
        add_new(date.why, no_figure(work_.tins, need.use.tin, need.field));
    }
    if (!date.why.empty() || waits.empty()) return date;
    auto decisive = waits.end();
    for (auto it = waits.begin(); it != waits.end(); ++it) {
      const auto& at = it->second.reached.at;
      if (!at) {
        date.why.push_back(never(it->second, conditions_.units()));
        add_guesses(date.why, it->second);
        date.wait = it->second;
        return date;
      }
      if (decisive == waits.end() ||
          (direction == Direction::shortest ? *at > *decisive->second.reached.at
                                            : *at < *decisive->second.reached.at))
        decisive = it;
    }
    date.at = decisive->second.reached.at;
    add_new(date.why, decisive->first->use.assumed);
    if (const Figure& label = decisive->second.label; label.usual)
      add_new(date.why,
              fmt::format("the label gives no {}: the longest usual for its kind counts ({})",
                          words_for(decisive->first->field), show(Seconds(label.value))));
    for (const auto& [need, wait] : waits)
      if (&wait == &decisive->second || !ended_by(wait, *date.at)) add_guesses(date.why, wait);
    date.guessed = !date.why.empty();
    date.wait = std::move(decisive->second);
    return date;
  }

  // Whether readings alone prove that this wait was over by then.
  bool ended_by(const Wait& wait, Instant at) const {
    if (!wait.reached.guessed) return true;
    return wait.direction == Direction::shortest &&
           cure_by_readings(wait.law, wait.start, at, conditions_) >=
               static_cast<double>(wait.label.value);
  }

  static void add_guesses(std::vector<std::string>& why, const Wait& wait) {
    for (const CurePart& part : wait.reached.parts) add_new(why, part.why);
  }

  void add_next_coat() {
    if (!history_.last_coat()) {
      add(latest(next_coat, need(history_.glue_ups(), &Label::full_cure)),
          work_.batch.glue.empty() ? "no coat is logged yet, and the first has no wait"
                                   : "no glue-up is logged yet");
      return;
    }
    const auto& last = *history_.last_coat();
    Date next = latest(next_coat, need(last, &Label::recoat_min));
    std::vector<Need> limited;
    for (const Need& limit : need(last, &Label::recoat_max))
      if (const auto tin = work_.tins.find(limit.use.tin);
          tin != work_.tins.end() && tin->second.label.recoat_max)
        limited.push_back(limit);
    std::optional<Date> by;
    if (!limited.empty() && !history_.scuffed_since_coat())
      by = decide(next_coat_by, limited, Direction::longest);
    if (by && by->at) next.scuff_first = now_ > *by->at || (next.at && *by->at < *next.at);
    for (Date* date : {&next, by ? &*by : nullptr})
      if (date && date->at)
        for (const std::string& reason : history_.usual_counts()) {
          add_new(date->why, reason);
          date->guessed = true;
        }
    dates_.push_back(std::move(next));
    if (by) dates_.push_back(std::move(*by));
  }

  Projection project(const std::vector<PlannedCoat>& rest) const {
    Projection out;
    if (history_.coats().empty()) return out;
    std::vector<Use> last = history_.coats().back();
    for (const PlannedCoat& coat : rest) {
      const Date due = latest(next_coat, need(last, &Label::recoat_min));
      if (!due.at) {
        out.failure = due.why;
        return out;
      }
      last = history_.uses(0, std::max(*due.at, now_), {history_.tin_of(coat.slot)});
      out.uses.insert(out.uses.end(), last.begin(), last.end());
    }
    return out;
  }

  void add_after_coats(const char* name, WaitField field, const Projection& projected,
                       std::size_t still_to_come) {
    if (history_.coats().empty() || !projected.failure.empty()) {
      Date date;
      date.name = name;
      date.why = projected.failure;
      add(std::move(date), history_.came_back_used() ? "no coat is logged since it came back"
                                                     : "no coat is logged yet");
      return;
    }
    std::vector<Need> needs;
    if (field == &Label::food_contact) needs = all_glue();
    for (const auto* coats : {&history_.worn_coats(), &history_.coats()})
      for (const auto& coat : *coats)
        for (const Need& wait : need(coat, field)) needs.push_back(wait);
    for (const Need& wait : need(projected.uses, field)) needs.push_back(wait);
    Date date = latest(name, needs);
    if (date.at && still_to_come > 0) {
      date.guessed = true;
      date.why.insert(date.why.begin(),
                      fmt::format("{} still to come, {} as soon as it is due",
                                  count_of(static_cast<std::int64_t>(still_to_come), "coat"),
                                  still_to_come == 1 ? "counted" : "each"));
    }
    if (date.at && field == &Label::food_contact && !history_.owner_unknown().empty()) {
      date.guessed = true;
      add_new(date.why, history_.owner_unknown());
    }
    dates_.push_back(std::move(date));
  }

  // The full cure of all glue on the piece.
  std::vector<Need> all_glue() const {
    std::vector<Need> out = need(history_.glue_ups(), &Label::full_cure);
    const auto& coats = history_.worn_coats().empty() ? history_.coats() : history_.worn_coats();
    if (out.empty() && !coats.empty()) {
      const Use& first = coats.front().front();
      for (const Use& glue : history_.uses(first.entry, first.start, work_.batch.glue)) {
        out.push_back({glue, &Label::full_cure});
        out.back().use.assumed =
            "no glue-up is logged: the glue counts from the first coat, before which it must have "
            "been";
      }
    }
    for (const Need& wait : need(history_.fitted(), &Label::full_cure)) out.push_back(wait);
    return out;
  }

  const BatchWork& work_;
  const Conditions& conditions_;
  Instant now_;
  const PieceHistory& history_;
  std::vector<Date> dates_;
};

// One piece's date into the whole batch's: the later counts, and an absent one above all.
void merge(Date& into, Date date) {
  if (into.at && date.at) {
    const bool decides = into.name == next_coat_by ? *date.at < *into.at : *date.at > *into.at;
    if (decides) std::swap(into, date);
    into.guessed = into.guessed || date.guessed;
  } else if (into.at) {
    std::swap(into, date);
  }
  if (into.at.has_value() == date.at.has_value())
    for (const std::string& reason : date.why) add_new(into.why, reason);
  into.scuff_first = into.scuff_first || date.scuff_first;
}

// A lost entry may have been a coat: no date is sure, and without the tin or the batch there is
// none.
void lay_losses(const Losses& losses, std::vector<Date>& dates) {
  const std::string lost = losses.sentence();
  if (losses.hides_dates())
    for (const char* name : {handle, pack, food_contact})
      if (std::none_of(dates.begin(), dates.end(),
                       [&](const Date& date) { return date.name == name; }))
        dates.push_back({.name = name});
  for (Date& date : dates) {
    date.guessed = true;
    date.why.push_back(lost.substr(0, lost.size() - 1));
    if (!losses.hides_dates()) continue;
    date.at.reset();
    date.wait.reset();
  }
}

}  // namespace

Progress progress(const BatchWork& work, int piece) {
  std::optional<std::pair<std::size_t, Progress>> behind;
  for (const PieceHistory& history : histories(work, piece)) {
    auto candidate = history.progress();
    const auto key = [](const auto& p) { return std::pair(p.second.coats_done, p.first); };
    if (!behind || key(candidate) < key(*behind)) behind = std::move(candidate);
  }
  return behind ? behind->second : Progress{};
}

void PieceConditions::set(const std::vector<int>& pieces, Conditions own) {
  own_.emplace_back(pieces, std::move(own));
}

const Conditions& PieceConditions::of(int piece) const {
  for (const auto& [pieces, own] : own_)
    if (std::find(pieces.begin(), pieces.end(), piece) != pieces.end()) return own;
  return all_;
}

std::vector<Date> dates(const BatchWork& work, int piece, const PieceConditions& conditions,
                        Instant now) {
  std::vector<std::vector<Date>> each;
  for (const PieceHistory& history : histories(work, piece))
    each.push_back(Reckoner(work, conditions.of(history.piece()), now, history).all());
  std::vector<Date> out;
  for (const char* name :
       {clamps_off, flatten, next_coat, next_coat_by, handle, pack, food_contact}) {
    std::optional<Date> whole;
    for (const auto& of_piece : each)
      for (const Date& date : of_piece) {
        if (date.name != name) continue;
        if (whole)
          merge(*whole, date);
        else
          whole = date;
      }
    if (whole) out.push_back(std::move(*whole));
  }
  if (work.losses.any()) lay_losses(work.losses, out);
  return out;
}

}  // namespace trencher::engine
