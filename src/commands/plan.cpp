#include "engine/plan.h"

#include <fmt/format.h>

#include <algorithm>

#include "commands/cautions.h"
#include "commands/command.h"
#include "commands/planning.h"
#include "commands/shop.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

struct Row {  // one task
  const PlannedPieces* of = nullptr;
  const engine::PlannedWork* work = nullptr;
  Instant from, until;
};

std::vector<Row> rows_of(const Planning& planning) {
  std::vector<Row> out;
  for (const PlannedPieces& of : planning.of)
    for (std::size_t k = 0; k < of.planned.begins.size(); ++k) {
      const engine::Minutes from = of.planned.begins[k];
      out.push_back({&of, &of.chain.work[k], planning.at(from),
                     planning.at(from + of.chain.batch.tasks[k].length)});
    }
  std::sort(out.begin(), out.end(), [](const Row& a, const Row& b) { return a.from < b.from; });
  return out;
}

// A batch's code, or "draft A".
std::string name_of(const PlannedPieces& of) { return of.batch.empty() ? of.label : of.batch; }

std::string clock(Call& call, Instant at) {
  const std::string shown = call.show_time(at);
  return shown.substr(shown.rfind(' ') + 1);
}

std::string limit_name(engine::PlanLimit limit) {
  if (limit == engine::PlanLimit::cure) return "cure";
  return limit == engine::PlanLimit::hours ? "hours" : "rack";
}

std::string late_text(engine::Minutes late) { return show(Seconds(60 * late)) + " late"; }

// "ready Fri 11 Dec 2026 20:10; begin by Thu 3 Dec 2026 19:00; the cure decides".
std::string outcome(Call& call, const Planning& planning, const PlannedPieces& of) {
  const engine::PlannedBatch& planned = of.planned;
  std::string out = fmt::format("ready {}", call.show_time(planning.at(planned.ready)));
  if (of.ready_by && planned.late > 0)
    out += fmt::format(", {} for {}", late_text(planned.late), show(*of.ready_by));
  if (planned.begins.empty()) return out + "; nothing is left to do but wait";
  const std::string begin = call.show_time(planning.at(planned.begins.front()));
  if (planned.late == 0) {
    out += fmt::format("; begin at the latest {}", begin);
  } else {
    out += fmt::format("; begin {}", begin);
    if (!planned.alone)
      out += "; no beginning would have been early enough";
    else if (planning.at(*planned.alone) < call.now())
      out += fmt::format("; the latest safe start was {}",
                         call.show_time(planning.at(*planned.alone)));
  }
  static const std::map<std::string, std::string> why{{"cure", "the waits decide (cure)"},
                                                      {"hours", "your time decides (hours)"},
                                                      {"rack", "room to dry decides (rack)"}};
  return out + "; " + why.at(limit_name(planned.limit));
}

// How good it is, and how far from what no plan can better.
std::string quality(const Planning& planning) {
  const engine::Plan& plan = planning.plan;
  if (plan.best)
    return "There is no better plan: none has fewer late batches, less lateness in all, or later "
           "beginnings in all.";
  std::string out = "A good plan, not proved to be the best. ";
  out += fmt::format("Late: {}, and no plan has fewer than {}. ",
                     count_of(plan.late_batches, "batch", "batches"), plan.least_late);
  if (plan.lateness > 0)
    out += fmt::format("Lateness in all: {}, and no plan has less than {}.",
                       show(Seconds(60 * plan.lateness)), show(Seconds(60 * plan.least_lateness)));
  else if (plan.latest_begins > plan.begins)
    out += fmt::format("Beginnings: on average {} earlier than any plan could have them.",
                       show(Seconds(60 * (plan.latest_begins - plan.begins) /
                                    static_cast<engine::Minutes>(plan.batches.size()))));
  return out;
}

void print(Call& call, const Planning& planning, bool explain) {
  const Workshop& workshop = call.settings();
  call.say(fmt::format(
      "From {}, in the hours {}{}. Not written into the book.", call.show_time(planning.from),
      show(workshop.hours),
      workshop.rack ? fmt::format(", on a rack for {}", count_of(*workshop.rack, "board")) : ""));
  for (const std::string& conditions : planning.counted_at)
    call.say(fmt::format("Waits to come are counted so: {}.", conditions));
  const std::vector<Row> rows = rows_of(planning);
  if (!rows.empty()) call.say("What to do, begun as late as the days allow; earlier is safer:");
  std::string day;
  for (const Row& row : rows) {
    const std::string of = show(local_day(call.zone().moment(row.from)));
    call.say_list(fmt::format("  {:<15}  {:>5}-{:<5} ", of == day ? "" : of, clock(call, row.from),
                              clock(call, row.until)),
                  fmt::format("{}: {}", row.of->label, work_text(*row.of, *row.work)));
    day = of;
  }
  call.say("Batch by batch:");
  const LocalTime local = [&](Instant at) { return call.zone().moment(at); };
  for (const PlannedPieces& of : planning.of) {
    const bool possible = of.chain.impossible.empty();
    call.say_list(
        fmt::format("  {:<8}", name_of(of)),
        fmt::format("{}{}: {}.",
                    of.pieces.empty() ? count_of(of.boards, "board") : name_pieces(of.pieces),
                    of.ready_by ? " by " + show(*of.ready_by) : "",
                    possible ? outcome(call, planning, of)
                             : "cannot be planned: " + join(of.chain.impossible, "; ")));
    for (const std::string& note : of.chain.notes) call.say_list("     ", note + ".");
    if (!explain) continue;
    for (const engine::Date& wait : of.chain.waits) {
      call.say_list("     ", wait.name + ":");
      for (const std::string& line : engine::explain(wait, call.units(), local))
        call.say_list("       ", line);
    }
  }
  if (!rows.empty()) call.say(quality(planning));
  for (const std::string& finish : planning.rag_finishes) call.say(rag_caution(finish).text);
  call.say(
      "Smell, tack or softness means not ready, whatever the date. The product's label and local "
      "rules come first.");
}

Json time_json(Call& call, Instant at) { return iso(call.zone().moment(at)); }

Json batch_json(Call& call, const Planning& planning, const PlannedPieces& of, bool explain) {
  Json row = Json::object();
  row.set("batch", name_of(of)).set("boards", of.boards);
  if (!of.pieces.empty()) row.set("pieces", Json::list(of.pieces));
  row.set_or_null("ready_by", of.ready_by ? Json(iso(*of.ready_by)) : Json());
  const bool possible = of.chain.impossible.empty();
  if (!possible) row.set("impossible", Json::list(of.chain.impossible));
  if (possible) {
    const auto& begins = of.planned.begins;
    row.set_or_null("begin",
                    begins.empty() ? Json() : time_json(call, planning.at(begins.front())));
    row.set("ready", time_json(call, planning.at(of.planned.ready)));
    row.set("late_s", of.planned.late * 60).set("limit", limit_name(of.planned.limit));
    const auto& safe =
        of.planned.late == 0 && !begins.empty() ? std::optional(begins.front()) : of.planned.alone;
    row.set_or_null("latest_safe_start", safe ? time_json(call, planning.at(*safe)) : Json());
  }
  if (!of.chain.notes.empty()) row.set("notes", Json::list(of.chain.notes));
  if (!explain) return row;
  const LocalTime local = [&](Instant at) { return call.zone().moment(at); };
  Json waits = Json::array();
  for (const engine::Date& wait : of.chain.waits)
    waits.push(Json::object()
                   .set("wait", wait.name)
                   .set("explanation", Json::list(engine::explain(wait, call.units(), local))));
  return row.set("waits", std::move(waits));
}

Json to_json(Call& call, const Planning& planning, bool explain) {
  Json batches = Json::array(), tasks = Json::array();
  for (const PlannedPieces& of : planning.of) batches.push(batch_json(call, planning, of, explain));
  for (const Row& row : rows_of(planning)) {
    Json task = Json::object();
    task.set("batch", name_of(*row.of)).set("step", row.work->step);
    if (row.work->coat > 0) task.set("coat", row.work->coat).set("coats", row.work->coats);
    if (!row.work->tin.empty()) task.set("tin", row.work->tin);
    if (row.work->scuff) task.set("scuff", true);
    const auto& pieces = row.work->pieces.empty() ? row.of->pieces : row.work->pieces;
    if (!pieces.empty()) task.set("pieces", Json::list(pieces));
    task.set("from", time_json(call, row.from)).set("until", time_json(call, row.until));
    tasks.push(std::move(task));
  }
  const engine::Plan& plan = planning.plan;
  Json out = Json::object();
  out.set("from", time_json(call, planning.from)).set("best", plan.best);
  out.set("late", plan.late_batches).set("lateness_s", plan.lateness * 60);
  out.set("least_late", plan.least_late).set("least_lateness_s", plan.least_lateness * 60);
  out.set("counted_at", Json::list(planning.counted_at));
  return out.set("batches", std::move(batches)).set("tasks", std::move(tasks));
}

}  // namespace

int plan(Call& call) {
  PlanAsked asked;
  bool explain = false;
  declare_plan(call, asked);
  call.flag("--explain", explain, "print the arithmetic of each wait");
  call.parse();
  const Planning planning = make_planning(call, asked);
  if (call.json()) return call.done(to_json(call, planning, explain));
  print(call, planning, explain);
  return 0;
}

}  // namespace trencher::commands
