#include "commands/planning.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "book/queries.h"
#include "commands/draft.h"
#include "commands/shop.h"
#include "commands/timetable.h"
#include "commands/upcoming.h"
#include "domain/error.h"
#include "domain/text.h"
#include "engine/schedule_history.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

constexpr std::chrono::days looked_back{400}, looked_ahead{366}, farthest{731};

// "26-014=2026-12-12" by batch, "2026-12-12" for all.
struct Days {
  std::map<std::string, Day> own;
  std::optional<Day> all;
};

Day checked_day(Call& call, const std::string& text, const std::string& what) {
  const Day day = parse_day(text, what);
  if (call.zone().at(day) <= call.now())
    throw Error::request(fmt::format(
        "{} {} has begun or is over; boards can be ready by a later day only.", what, show(day)));
  if (call.zone().at(day) > call.now() + farthest)
    throw Error::request(fmt::format("{} {} is more than two years ahead; a plan looks no farther.",
                                     what, show(day)));
  return day;
}

Days read_days(Call& call, const std::vector<std::string>& words) {
  Days out;
  for (const std::string& word : words) {
    const auto equals = word.find('=');
    if (equals == std::string::npos) {
      if (out.all) throw Error::request("--ready-by gives two days for all; write BATCH=DATE.");
      out.all = checked_day(call, word, "--ready-by");
      continue;
    }
    const std::string batch = word.substr(0, equals);
    need_batch(call, batch);
    if (!out.own.emplace(batch, checked_day(call, word.substr(equals + 1), "--ready-by")).second)
      throw Error::request(fmt::format("--ready-by gives two days for {}; give one.", batch));
  }
  return out;
}

class Gatherer {
 public:
  Gatherer(Call& call, const PlanAsked& asked, bool need_days)
      : call_(call),
        asked_(asked),
        need_days_(need_days),
        what_if_(parse_what_if(asked.if_words)) {}

  Planning all() {
    if (call_.settings().hours.empty())
      throw Error::request(
          "Nobody said when you are in the shop; 'trencher workshop hours mon-fri 19:00-21:30, sat "
          "9:00-17:00' does.");
    days_ = read_days(call_, asked_.ready_by);
    out_.from = std::chrono::ceil<std::chrono::minutes>(call_.now());
    terms_.now = out_.from;
    terms_.minutes = call_.settings().minutes;
    if (asked_.packed) terms_.ready = &Label::pack;
    read_drafts();
    set_sittings();
    add_batches();
    add_drafts();
    if (out_.of.empty())
      throw Error::request(
          "Nothing is to be planned: no open batch asks for work; --draft imagines one.");
    solve();
    return std::move(out_);
  }

 private:
  void read_drafts() {
    for (const std::string& text : asked_.drafts) {
      drafts_.push_back(parse_draft(call_, text));
      if (const auto& day = drafts_.back().ready_by)
        drafts_.back().ready_by = checked_day(call_, iso(*day), "ready-by of --draft");
    }
  }

  std::optional<Day> market_day() const {
    for (const auto& market : call_.settings().market_days)
      if (call_.zone().at(market.day) > call_.now()) return market.day;
    return {};
  }

  // A promise is kept even where the market is later.
  std::optional<Day> day_of(const Batch& batch) const {
    if (const auto own = days_.own.find(batch.code); own != days_.own.end()) return own->second;
    std::optional<Day> day = days_.all;
    if (batch.promised && (!day || *batch.promised < *day)) day = batch.promised;
    return day ? day : market_day();
  }

  void set_sittings() {
    Day last = local_day(call_.zone().moment(out_.from));
    const auto reach = [&](const std::optional<Day>& day) {
      if (day) last = std::max(last, *day);
    };
    reach(days_.all);
    reach(market_day());
    for (const auto& [batch, day] : days_.own) reach(day);
    for (const Draft& draft : drafts_) reach(draft.ready_by);
    for (const std::string& code : book::open_batches(call_.book()))
      reach(need_batch(call_, code).promised);
    const Day first = local_day(call_.zone().moment(out_.from));
    last = std::min(last, Day(std::chrono::sys_days(first) + farthest));
    terms_.sittings = sittings_of(call_, out_.from, std::chrono::sys_days(first) - looked_back,
                                  std::chrono::sys_days(last) + looked_ahead);
  }

  void add_batches() {
    std::vector<std::string> codes;
    for (const std::string& code : asked_.batches) {
      need_batch(call_, code);
      if (std::find(codes.begin(), codes.end(), code) == codes.end()) codes.push_back(code);
    }
    if (codes.empty()) codes = book::open_batches(call_.book());
    for (const std::string& code : codes) add_batch(code);
  }

  void add_batch(const std::string& code) {
    const BatchView view = view_batch(call_, code, known_, what_if_);
    std::vector<int> here;
    std::map<int, bool> is_signed;
    const auto& all = view.pieces;
    for (const book::PieceState& piece : all)
      if (piece.here() && !piece.signed_off) {
        here.push_back(piece.number);
        is_signed[piece.number] = false;
      }
    if (here.empty()) {
      if (!asked_.batches.empty())
        throw Error::request(fmt::format(
            "{} asks for no work that could be planned: its boards are signed off or not here.",
            code));
      return;
    }
    for (const Way& way : ways_of(view, here, call_.now()))
      for (const std::vector<int>& group : alike(view, way.pieces, is_signed)) {
        PlannedPieces of;
        of.batch = code;
        of.label = code;
        if (group.size() != all.size()) {
          of.pieces = group;
          of.label += ", " + name_pieces(group);
        }
        of.boards = static_cast<int>(group.size());
        of.ready_by = day_of(view.batch());
        const engine::Conditions& conditions = view.conditions.of(group);
        of.chain = engine::chain_of(view.facts.work, group, conditions, terms_);
        for (const engine::PlannedWork& work : of.chain.work)
          if (const auto word = view.facts.withdrawn.find(work.tin);
              word != view.facts.withdrawn.end())
            engine::add_new(of.chain.impossible, fmt::format("{} is withdrawn (entry {})", work.tin,
                                                             word->second.entry));
        for (const std::string& lot : view.batch().wood)
          if (const auto word = view.facts.withdrawn.find(lot); word != view.facts.withdrawn.end())
            engine::add_new(of.chain.impossible,
                            fmt::format("{} is withdrawn (entry {})", lot, word->second.entry));
        of.tins = view.facts.work.tins;
        add(std::move(of), conditions);
      }
  }

  void add_drafts() {
    char letter = 'A';
    for (const Draft& draft : drafts_) {
      const engine::Conditions conditions = conditions_at(call_, draft.work.batch.place, what_if_);
      for (int i = 1; i <= draft.count; ++i) {
        PlannedPieces of;
        of.label = fmt::format("draft {}{}", letter, draft.count > 1 ? std::to_string(i) : "");
        of.boards = draft.work.batch.pieces;
        of.ready_by = draft.ready_by ? draft.ready_by : days_.all ? days_.all : market_day();
        of.chain = engine::chain_of(draft.work, draft.work.pieces, conditions, terms_);
        of.tins = draft.work.tins;
        add(std::move(of), conditions);
      }
      ++letter;
    }
  }

  void add(PlannedPieces of, const engine::Conditions& conditions) {
    if (!of.ready_by && need_days_)
      throw Error::request(fmt::format(
          "{} has no day to be ready by; give --ready-by DATE, or 'trencher workshop market-days "
          "DATE'.",
          of.label));
    if (of.ready_by && call_.zone().at(*of.ready_by) <= call_.now()) {
      // A promise that has passed: as soon as can be.
      of.chain.notes.push_back(fmt::format("it was promised for {}", show(*of.ready_by)));
    }
    const Instant day = of.ready_by ? call_.zone().at(*of.ready_by) : out_.from;
    of.chain.batch.ready_by = std::chrono::floor<std::chrono::minutes>(day - out_.from).count();
    const Instant later = std::max(out_.from, conditions.settled());
    for (const engine::Stretch& stretch : conditions.between(later, later + Seconds(60)))
      engine::add_new(out_.counted_at,
                      stretch.why.empty() ? "what the last readings say" : stretch.why);
    for (const engine::PlannedWork& work : of.chain.work)
      for (const Tin* source : engine::sources(of.tins, work.tin))
        if (const FinishKind* kind = reference::find_finish(source->kind);
            kind && kind->self_heating_rags)
          engine::add_new(out_.rag_finishes, source->name);
    out_.of.push_back(std::move(of));
  }

  void solve() {
    engine::PlanProblem problem;
    problem.sittings = terms_.sittings;
    problem.rack = call_.settings().rack;
    std::vector<PlannedPieces*> planned;
    for (PlannedPieces& of : out_.of) {
      if (!of.chain.impossible.empty()) continue;
      if (of.chain.batch.tasks.empty()) {
        of.planned.ready = of.chain.batch.cured;
        of.planned.late = std::max<engine::Minutes>(0, of.planned.ready - of.chain.batch.ready_by);
        continue;
      }
      problem.batches.push_back(of.chain.batch);
      planned.push_back(&of);
    }
    if (planned.empty()) return;
    try {
      out_.plan = engine::plan(problem);
    } catch (const engine::NoPlan& none) {
      throw Error::request(sentence(none, *planned[none.batch]));
    }
    for (std::size_t i = 0; i < planned.size(); ++i) {
      planned[i]->planned = out_.plan.batches[i];
      note_stale_tins(*planned[i]);
    }
  }

  // A tin that will be out of date when its coat is planned.
  void note_stale_tins(PlannedPieces& of) {
    for (std::size_t k = 0; k < of.chain.work.size(); ++k) {
      const auto tin = of.tins.find(of.chain.work[k].tin);
      if (tin == of.tins.end()) continue;
      if (const auto& pot = tin->second.pot_until; pot && pot->at < out_.at(of.planned.begins[k]))
        engine::add_new(of.chain.notes,
                        fmt::format("{} {} can be used until {} by its pot life: mix it anew for "
                                    "its coat",
                                    tin->first, tin->second.name, show(*pot)));
      const auto until = use_by(tin->second);
      const Day day = local_day(call_.zone().moment(out_.at(of.planned.begins[k])));
      if (until && *until < day)
        engine::add_new(of.chain.notes,
                        fmt::format("{} {} is good until {}, before a coat from it is planned",
                                    tin->first, tin->second.name, show(*until)));
    }
  }

  std::string sentence(const engine::NoPlan& none, const PlannedPieces& of) const {
    const std::string hours = show(call_.settings().hours);
    const engine::PlannedWork& work = of.chain.work[none.task];
    switch (none.why) {
      case engine::NoPlan::Why::too_long:
        return fmt::format(
            "{}: {} takes {} min of one board, longer than any sitting of the hours "
            "{}.",
            of.label, work.step, of.chain.batch.tasks[none.task].length, hours);
      case engine::NoPlan::Why::rack_too_small:
        return fmt::format(
            "{} has {} to dry, and the rack holds {}; plan fewer boards, or change "
            "'trencher workshop rack'.",
            of.label, count_of(of.boards, "board"), *call_.settings().rack);
      case engine::NoPlan::Why::window:
        return fmt::format(
            "{}: {} cannot be done within its longest wait of {} in the hours {}; "
            "other hours, or a way of finishing that scuffs between coats, can.",
            of.label, work_text(of, work),
            show(Seconds(60 * of.chain.batch.tasks[none.task].longest.value_or(0))), hours);
      case engine::NoPlan::Why::end_of_sittings:
        return fmt::format("{} cannot be finished within a year in the hours {}.", of.label, hours);
      case engine::NoPlan::Why::together:
        break;
    }
    return fmt::format(
        "No plan was found that keeps every longest wait between coats in the hours "
        "{}; plan fewer batches, or more hours.",
        hours);
  }

  Call& call_;
  const PlanAsked& asked_;
  bool need_days_;
  WhatIf what_if_;
  KnownShop known_;
  Days days_;
  std::vector<Draft> drafts_;
  engine::PlanTerms terms_;
  Planning out_;
};

}  // namespace

void declare_plan(Call& call, PlanAsked& asked) {
  call.words("BATCH", asked.batches, "those to plan; none: all that are open");
  call.list("--ready-by", "DATE", asked.ready_by,
            "ready before that day begins; BATCH=DATE for one; else as promised, else the next "
            "market day");
  call.list("--draft", "TEXT", asked.drafts,
            "a batch only imagined: 'schedule=oil finish=F1 pieces=6', and glue=, count=, place=, "
            "ready-by=");
  call.flag("--packed", asked.packed,
            "ready is: may be packed; the card says when food may touch it");
  declare_what_if(call, asked.if_words);
}

Planning make_planning(Call& call, const PlanAsked& asked, bool need_days) {
  return Gatherer(call, asked, need_days).all();
}

std::string work_text(const PlannedPieces& of, const engine::PlannedWork& work) {
  std::string out = work.step;
  if (work.coat > 0) out += fmt::format(" {} of {}", work.coat, work.coats);
  if (const auto tin = of.tins.find(work.tin); tin != of.tins.end())
    out += fmt::format(" from {}{}", tin->first,
                       tin->second.name == tin->first ? "" : " " + tin->second.name);
  if (work.scuff) out += ", after a scuff";
  if (!work.pieces.empty()) out += "; " + name_pieces(work.pieces);
  return out;
}

}  // namespace trencher::commands
