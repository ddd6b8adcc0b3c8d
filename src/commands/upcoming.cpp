#include "commands/upcoming.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"

namespace trencher::commands {
namespace {

bool is_attended(const Step& step) {
  return step.kind != "move" && step.kind != "fit" && step.kind != "glue-up";
}

}  // namespace

std::string show_relative(Call& call, Instant at) {
  const Seconds wait = at - call.now();
  const std::string absolute = call.show_time(at);
  if (wait.count() >= 60) return fmt::format("in {}, {}", show(wait), absolute);
  if (wait.count() <= -60) return fmt::format("since {}, {}", show(-wait), absolute);
  return "now, " + absolute;
}

std::vector<Upcoming> upcoming(Call& call, const std::string& code) {
  BatchView view = view_batch(call, code);
  engine::BatchWork& work = view.facts.work;
  std::vector<int> here;
  bool all_signed = true;
  for (const book::PieceState& piece : book::pieces_of(call.book(), code))
    if (!piece.given) {
      here.push_back(piece.number);
      all_signed = all_signed && piece.signed_off;
    }
  work.pieces = here;
  std::vector<Upcoming> out;
  for (const std::int64_t coat : view.facts.open_rags) {
    const auto entry = book::effective_entry(call.book(), coat);
    out.push_back(
        {code, "rags", entry->happened.at, entry->happened.at, false,
         fmt::format("rags of entry {}: out flat or under water, then log rags-done", coat)});
  }
  const std::vector<engine::Date> dates = dates_of(view, here, call.now());
  const auto add_date = [&](const char* name, const std::string& detail) {
    const engine::Date* date = find_date(dates, name);
    if (date) out.push_back({code, name, date->at, {}, date->guessed, detail});
  };
  Instant last_step = work.batch.at.at;
  bool worked_since_glue = false, glued = false;
  for (const Step& step : work.steps) {
    last_step = std::max(last_step, step.at.at);
    if (step.kind == "glue-up") {
      glued = true;
      worked_since_glue = false;
    } else if (is_attended(step)) {
      worked_since_glue = true;
    }
  }
  if (glued && !worked_since_glue) {
    add_date(engine::clamps_off, "clamps may come off");
    add_date(engine::flatten, "glue is at full strength: flatten, plane, sand");
  }
  const engine::Progress so_far = engine::progress(work, 0);
  if (so_far.next_step == "coat" || so_far.next_step == "scuff") {
    const engine::Date* next = find_date(dates, engine::next_coat);
    const engine::Date* by = find_date(dates, engine::next_coat_by);
    const bool scuff = next && next->scuff_first && !so_far.scuffed_since_coat;
    const std::string tin =
        work.tins.contains(so_far.next_tin)
            ? fmt::format(" from {} {}", so_far.next_tin, work.tins.at(so_far.next_tin).name)
            : "";
    const bool scuff_now = scuff || so_far.next_step == "scuff";
    Upcoming coat{code,
                  "coat",
                  {},
                  {},
                  false,
                  fmt::format("coat {} of {}{}{}", so_far.coats_done + 1, so_far.coats_planned, tin,
                              scuff_now ? ", after a scuff" : "")};
    if (next) {
      coat.earliest = next->at;
      coat.guessed = next->guessed;
    } else {
      const engine::Date* flat = find_date(dates, engine::flatten);
      coat.earliest = flat && flat->at ? std::max(*flat->at, last_step) : last_step;
      coat.guessed = flat && flat->guessed;
    }
    if (by && !scuff) coat.latest = by->at;
    if (scuff_now)
      out.push_back({code,
                     "scuff",
                     coat.earliest,
                     {},
                     coat.guessed,
                     "rub down lightly before the next coat"});
    out.push_back(std::move(coat));
  } else if (so_far.next_step == "sign-off" || so_far.next_step.empty() ||
             so_far.next_step == "inspect") {
    for (const char* name : {engine::handle, engine::pack, engine::food_contact}) {
      const engine::Date* date = find_date(dates, name);
      if (date && (!date->at || *date->at > call.now()))
        add_date(name, name == engine::handle ? std::string("may be handled")
                       : name == engine::pack
                           ? std::string("may be packed")
                           : std::string("first food contact, by label or usual wait; "
                                         "smell, tack or softness means not ready"));
    }
    if (so_far.next_step == "inspect")
      out.push_back({code, "inspect", last_step, {}, false, "inspect each board"});
    else if (!all_signed) {
      const engine::Date* food = find_date(dates, engine::food_contact);
      out.push_back({code,
                     "sign-off",
                     food ? food->at : std::optional(last_step),
                     {},
                     food && food->guessed,
                     "decide whether the boards may leave"});
    }
  } else if (!so_far.next_step.empty()) {
    const engine::Date* flat = find_date(dates, engine::flatten);
    out.push_back({code,
                   so_far.next_step,
                   flat && flat->at ? std::max(*flat->at, last_step) : last_step,
                   {},
                   flat && flat->guessed,
                   so_far.next_step});
  }
  std::stable_sort(out.begin(), out.end(), [](const Upcoming& a, const Upcoming& b) {
    return a.earliest && (!b.earliest || *a.earliest < *b.earliest);
  });
  return out;
}

void say_next(Call& call, const std::string& batch) {
  for (const Upcoming& item : upcoming(call, batch)) {
    if (item.step == "rags") continue;
    call.say_list("Next:", fmt::format("{} {}{}.", item.detail,
                                       item.earliest ? show_relative(call, *item.earliest)
                                                     : std::string("at a time that is not known"),
                                       item.guessed ? " (guessed)" : ""));
    return;
  }
}

}  // namespace trencher::commands
