#include "engine/plan_chain.h"

#include <fmt/format.h>

#include <algorithm>

#include "engine/plan_model.h"

namespace trencher::engine {
namespace {

// Attention to one board where neither shop nor schedule says any: ours.
constexpr int glue_up_minutes = 15, other_minutes = 5;

const Date* find(const std::vector<Date>& dates, std::string_view name) {
  for (const Date& date : dates)
    if (date.name == name) return &date;
  return nullptr;
}

// The same pieces if nothing more were to be put on them.
BatchWork as_it_is(BatchWork work) {
  work.batch.schedule.steps.clear();
  for (Turn& turn : work.turns)
    if (turn.schedule || !turn.unused) turn.schedule = Schedule{};
  return work;
}

class Chain {
 public:
  Chain(const BatchWork& work, const std::vector<int>& pieces, const Conditions& conditions,
        const PlanTerms& terms)
      : work_(work),
        pieces_(pieces),
        conditions_(conditions),
        terms_(terms),
        time_(terms.sittings) {
    work_.pieces = pieces;
  }

  PlanChain all() {
    const std::vector<PieceHistory> histories = engine::histories(work_, pieces_.front());
    history_ = &histories.front();
    coats_ = history_->progress().second.coats_planned;
    todo_ = history_->to_do();
    lay_present();
    for (std::size_t i = 0; out_.impossible.empty() && i < todo_.size(); ++i) {
      const ToDo& item = todo_[i];
      // A scuff right before its coat is done in one sitting with it.
      const bool with_next = item.step == "scuff" && i + 1 < todo_.size() &&
                             todo_[i + 1].step == "coat" && todo_[i + 1].coat == item.coat;
      if (with_next) continue;
      const bool scuff = i > 0 && todo_[i - 1].step == "scuff" && item.step == "coat" &&
                         todo_[i - 1].coat == item.coat;
      if (item.step == "coat")
        lay_coat(item, scuff);
      else
        lay_other(item);
    }
    return std::move(out_);
  }

 private:
  Minutes floor_minute(Instant at) const {
    return std::chrono::floor<std::chrono::minutes>(at - terms_.now).count();
  }
  Minutes ceil_minute(Instant at) const {
    return std::chrono::ceil<std::chrono::minutes>(at - terms_.now).count();
  }
  // From here on conditions stay as they are.
  Instant later() const { return std::max(terms_.now, conditions_.settled()); }

  // What is on the pieces by now: how long it still cures, and whether they stand on the rack.
  void lay_present() {
    const BatchWork now = as_it_is(work_);
    const std::vector<Date> dates =
        engine::dates(now, pieces_.front(), PieceConditions(conditions_), terms_.now);
    const bool anything =
        history_->last_coat() || !history_->glue_ups().empty() || !history_->fitted().empty();
    const char* name = history_->last_coat() && terms_.ready == &Label::pack ? pack : food_contact;
    if (const Date* date = find(dates, name); date && anything) {
      if (date->at)
        out_.batch.cured = ceil_minute(*date->at);
      else
        out_.impossible = date->why;
    }
    const bool more_coats = std::any_of(todo_.begin(), todo_.end(),
                                        [](const ToDo& item) { return item.step == "coat"; });
    if (history_->coats().empty()) return;
    const Date* dry = find(dates, handle);
    const bool wet = !dry || !dry->at || *dry->at > terms_.now;
    on_rack_ = wet;
    if (wet || more_coats) out_.batch.boards = static_cast<int>(pieces_.size());
    if (wet && !more_coats && dry && dry->at) out_.batch.off_rack = ceil_minute(*dry->at);
  }

  // How long the wait of a coat or glue-up from that tin will be; `why` it is not known.
  std::optional<Seconds> wait_after(const std::string& tin, WaitField field, Direction direction) {
    std::optional<Seconds> out;
    for (const Use& use : history_->uses(0, later(), {tin})) {
      auto wait = wait_of(work_.tins, use, field, conditions_, direction);
      if (!wait) {
        if (direction == Direction::longest) continue;
        add_new(out_.impossible, no_figure(work_.tins, use.tin, field));
        return {};
      }
      if (!wait->reached.at) {
        add_new(out_.impossible, never(*wait, conditions_.units()));
        return {};
      }
      const Seconds length = *wait->reached.at - use.start;
      if (!out || (direction == Direction::shortest ? length > *out : length < *out)) out = length;
      keep_wait(std::move(*wait), field);
    }
    return out;
  }

  void keep_wait(Wait wait, WaitField field) {
    Date date;
    date.name = fmt::format("{} after {}", words_for(field), wait.tin);
    date.at = wait.reached.at;
    date.wait = std::move(wait);
    if (!find(out_.waits, date.name)) out_.waits.push_back(std::move(date));
  }

  int minutes_of(const ToDo& item) const {
    if (const auto own = terms_.minutes.find(item.step); own != terms_.minutes.end())
      return own->second;
    const int usual = item.step == "glue-up" ? glue_up_minutes : other_minutes;
    if (!item.schedule_step) return usual;
    return history_->schedule().steps[*item.schedule_step].minutes.value_or(usual);
  }

  int scuff_minutes(int slot) const {
    if (const auto own = terms_.minutes.find("scuff"); own != terms_.minutes.end())
      return own->second;
    for (const ScheduleStep& step : history_->schedule().steps)
      if (step.step == "scuff" && step.slot == slot) return step.minutes.value_or(other_minutes);
    return other_minutes;
  }

  // Adds a task of so many minutes a board, in as few parts as sittings allow. `wait_` holds what
  // is to be waited for first.
  void add(PlannedWork work, int minutes, Seconds cure, bool after_cure = false) {
    const auto boards = static_cast<Minutes>(pieces_.size());
    const Minutes at_once = std::max<Minutes>(1, time_.longest() / minutes);
    const Minutes parts = (boards + at_once - 1) / at_once;
    for (Minutes part = 0; part < parts; ++part) {
      const Minutes from = boards * part / parts, until = boards * (part + 1) / parts;
      PlanTask task;
      task.length = minutes * (until - from);
      task.wait = part == 0 ? std::chrono::ceil<std::chrono::minutes>(wait_).count() : 0;
      task.cure = std::chrono::ceil<std::chrono::minutes>(cure).count();
      task.after_cure = after_cure;
      out_.batch.tasks.push_back(task);
      work.pieces.clear();
      if (parts > 1)
        work.pieces.assign(pieces_.begin() + static_cast<std::ptrdiff_t>(from),
                           pieces_.begin() + static_cast<std::ptrdiff_t>(until));
      out_.work.push_back(work);
    }
    wait_ = Seconds{0};
  }

  // The first task's beginning by what was done and put on before.
  void begin_after(std::optional<Instant> at) {
    if (at) out_.batch.not_before = std::max(out_.batch.not_before, ceil_minute(*at));
  }

  // When the pieces have dried that were wetted last.
  std::optional<Instant> grain_dry() const {
    for (auto step = work_.steps.rbegin(); step != work_.steps.rend(); ++step)
      if (names_piece(step->pieces, pieces_.front()))
        return step->kind == "raise-grain" ? std::optional(step->at.at + grain_dries)
                                           : std::nullopt;
    return {};
  }

  std::vector<Date> dates_now() const {
    return engine::dates(work_, pieces_.front(), PieceConditions(conditions_), terms_.now);
  }

  void lay_other(const ToDo& item) {
    const bool first = out_.batch.tasks.empty();
    if (first && item.step != "inspect") {
      begin_after(grain_dry());
      const std::vector<Date> dates = dates_now();
      if (const Date* flat = find(dates, flatten); flat && item.step != "glue-up") {
        if (flat->at)
          begin_after(flat->at);
        else
          out_.impossible = flat->why;
      }
    }
    if (item.step == "glue-up") return lay_glue_up(item);
    const bool inspect = item.step == "inspect";
    int rounds = 1;
    if (item.schedule_step && !inspect)
      rounds = std::max(1, history_->schedule().steps[*item.schedule_step].count.value_or(1));
    for (int round = 0; round < rounds; ++round) {
      add({item.step, 0, 0, false, {}, {}}, minutes_of(item), Seconds{0}, inspect);
      if (item.step == "raise-grain") wait_ = grain_dries;
    }
  }

  void lay_glue_up(const ToDo& item) {
    Seconds cure{0};
    for (const std::string& tin : work_.batch.glue)
      if (const auto wait = wait_after(tin, &Label::full_cure, Direction::shortest))
        cure = std::max(cure, *wait);
    add({item.step, 0, 0, false, {}, {}}, minutes_of(item), cure);
    wait_ = cure;
  }

  // The first coat to be put on: when, by when, and whether after a scuff.
  void lay_first(bool& scuff, int minutes) {
    const std::vector<Date> dates = dates_now();
    const Date* next = find(dates, next_coat);
    if (!history_->last_coat()) {
      begin_after(grain_dry());
      if (next) begin_after(next->at);
      return;
    }
    if (!next || !next->at) {
      out_.impossible = next ? next->why : std::vector<std::string>{};
      return;
    }
    begin_after(next->at);
    if (scuff || history_->scuffed_since_coat()) return;
    if (next->scuff_first) {
      scuff = true;
      return;
    }
    const Date* by = find(dates, next_coat_by);
    if (!by || !by->at) return;
    const Minutes until = floor_minute(*by->at);
    const Minutes length = minutes * static_cast<Minutes>(pieces_.size());
    const auto fit = time_.first_fit(out_.batch.not_before, length);
    if (fit && *fit + length <= until) {
      out_.batch.first_done_by = until;
    } else {
      scuff = true;
      out_.notes.push_back(
          "the longest wait for its next coat ends before you are in the shop: a "
          "scuff is planned");
    }
  }

  void lay_coat(const ToDo& item, bool scuff) {
    const std::string tin = history_->tin_of(item.slot);
    if (tin.empty()) {
      out_.impossible.push_back("it is not recorded which tin its next coat comes from");
      return;
    }
    const int minutes = minutes_of(item);
    std::optional<Minutes> longest;
    if (out_.batch.tasks.empty()) {
      lay_first(scuff, minutes);
    } else if (!last_tin_.empty()) {
      if (const auto wait = wait_after(last_tin_, &Label::recoat_min, Direction::shortest))
        wait_ = *wait;
      const auto limit =
          scuff ? std::nullopt : wait_after(last_tin_, &Label::recoat_max, Direction::longest);
      if (limit) longest = std::chrono::floor<std::chrono::minutes>(*limit).count();
      // The coat before and this one, begun and done at the soonest.
      const Minutes soonest = last_minutes_ + (wait_.count() + 59) / 60 +
                              minutes * static_cast<Minutes>(pieces_.size());
      if (longest && *longest < soonest) {
        longest.reset();
        scuff = true;
        add_new(out_.notes,
                fmt::format("the longest wait of {} ends before its shortest is over and the "
                            "boards are coated: scuffs are planned",
                            last_tin_));
      }
    }
    const auto cure = wait_after(tin, terms_.ready, Direction::shortest);
    if (!cure) return;
    const std::size_t before = out_.batch.tasks.size();
    add({"coat", item.coat, coats_, scuff, tin, {}},
        minutes + (scuff ? scuff_minutes(item.slot) : 0), *cure);
    PlanTask& last = out_.batch.tasks.back();
    if (longest) {
      last.longest = longest;
      last.back = out_.batch.tasks.size() - 1 - last_coat_;
    }
    last_coat_ = before;
    last_tin_ = tin;
    last_minutes_ = 0;
    for (std::size_t k = before; k < out_.batch.tasks.size(); ++k)
      last_minutes_ += out_.batch.tasks[k].length;
    stand_on_rack(before, tin);
  }

  void stand_on_rack(std::size_t coat, const std::string& tin) {
    PlanBatch& batch = out_.batch;
    batch.boards = static_cast<int>(pieces_.size());
    if (!on_rack_ && !batch.onto_rack) batch.onto_rack = coat;
    batch.last_on_rack = batch.tasks.size() - 1;
    const auto label = work_.tins.find(tin);
    const bool says = label != work_.tins.end() && label->second.label.handle;
    if (const auto dry =
            wait_after(tin, says ? &Label::handle : &Label::recoat_min, Direction::shortest))
      batch.drying = std::chrono::ceil<std::chrono::minutes>(*dry).count();
  }

  BatchWork work_;
  const std::vector<int>& pieces_;
  const Conditions& conditions_;
  const PlanTerms& terms_;
  FreeTime time_;
  const PieceHistory* history_ = nullptr;
  int coats_ = 0;
  bool on_rack_ = false;
  std::vector<ToDo> todo_;
  Seconds wait_{0};
  std::string last_tin_;
  std::size_t last_coat_ = 0;
  Minutes last_minutes_ = 0;
  PlanChain out_;
};

}  // namespace

PlanChain chain_of(const BatchWork& work, const std::vector<int>& pieces,
                   const Conditions& conditions, const PlanTerms& terms) {
  return Chain(work, pieces, conditions, terms).all();
}

}  // namespace trencher::engine
