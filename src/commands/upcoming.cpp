#include "commands/upcoming.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "book/amended.h"
#include "book/queries.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

bool is_attended(const Step& step) {
  return step.kind != "move" && step.kind != "fit" && step.kind != "glue-up";
}

// What comes next with the pieces that go one way.
class Next {
 public:
  Next(Call& call, const BatchView& view, const std::vector<int>& pieces, bool all_signed)
      : call_(call), view_(view), pieces_(pieces), all_signed_(all_signed) {
    engine::BatchWork work = view.facts.work;
    work.pieces = pieces;
    dates_ = engine::dates(work, 0, view.conditions, call.now());
    so_far_ = engine::progress(work, 0);
    last_step_ = work.batch.at.at;
    for (const Turn& turn : work.turns)
      if (names_one(turn.pieces)) last_step_ = std::max(last_step_, turn.at.at);
    for (const Step& step : work.steps) {
      if (!names_one(step.pieces)) continue;
      last_step_ = std::max(last_step_, step.at.at);
      if (step.kind == "glue-up") {
        glued_ = true;
        worked_since_glue_ = false;
      } else if (is_attended(step)) {
        worked_since_glue_ = true;
      }
    }
  }

  std::vector<Upcoming> all() {
    if (glued_ && !worked_since_glue_) {
      add_date(engine::clamps_off, "clamps may come off");
      add_date(engine::flatten, "glue is at full strength: flatten, plane, sand");
    }
    const std::string& step = so_far_.next_step;
    if (step == "coat" || step == "scuff")
      add_coat();
    else if (step == "sign-off" || step.empty() || step == "inspect")
      add_end();
    else
      add(step, after_glue(), step, guessed(engine::flatten));
    return std::move(out_);
  }

 private:
  bool names_one(const std::vector<int>& named) const {
    return std::any_of(pieces_.begin(), pieces_.end(),
                       [&](int piece) { return names_piece(named, piece); });
  }
  bool wood_withdrawn() const {
    const auto& wood = view_.batch().wood;
    return std::any_of(wood.begin(), wood.end(),
                       [&](const std::string& lot) { return view_.facts.withdrawn.contains(lot); });
  }
  void add(const std::string& step, std::optional<Instant> at, const std::string& detail,
           bool is_guessed) {
    out_.push_back({view_.batch().code, step, at, {}, is_guessed, detail, pieces_});
  }
  void add_date(const char* name, const std::string& detail) {
    if (const engine::Date* date = find_date(dates_, name))
      add(name, date->at, detail, date->guessed);
  }
  bool guessed(const char* name) const {
    const engine::Date* date = find_date(dates_, name);
    return date && date->guessed;
  }
  // The last step, or the glue's full strength where that comes later.
  Instant after_glue() const {
    const engine::Date* flat = find_date(dates_, engine::flatten);
    return flat && flat->at ? std::max(*flat->at, last_step_) : last_step_;
  }

  void add_coat() {
    const engine::Tins& tins = view_.facts.work.tins;
    const engine::Date* next = find_date(dates_, engine::next_coat);
    const engine::Date* by = find_date(dates_, engine::next_coat_by);
    const bool must_scuff = next && next->scuff_first && !so_far_.scuffed_since_coat;
    const bool scuff = must_scuff || so_far_.next_step == "scuff";
    const std::string from =
        so_far_.next_tin.empty() ? ", of whatever tin you take"
        : tins.contains(so_far_.next_tin)
            ? fmt::format(" from {} {}{}", so_far_.next_tin, tins.at(so_far_.next_tin).name,
                          view_.facts.withdrawn.contains(so_far_.next_tin)
                              ? ", which is withdrawn: take another"
                          : past_pot_life(tins.at(so_far_.next_tin))
                              ? ", which is past its pot life: mix anew"
                              : "")
            : "";
    Upcoming coat{view_.batch().code,
                  "coat",
                  {},
                  {},
                  false,
                  fmt::format("coat {} of {}{}{}{}", so_far_.coats_done + 1, so_far_.coats_planned,
                              from, scuff ? ", after a scuff" : "",
                              wood_withdrawn() ? "; but its wood is withdrawn: leave it" : ""),
                  pieces_};
    coat.earliest = next ? next->at : after_glue();
    // The first coat waits for nothing but the glue and what was done before it.
    if (so_far_.coats_done == 0 && (coat.earliest || (next && !next->wait)))
      coat.earliest = std::max(coat.earliest.value_or(last_step_), last_step_);
    coat.guessed = next ? next->guessed : guessed(engine::flatten);
    if (by && !must_scuff) coat.latest = by->at;
    constexpr Seconds soon{86400};
    if (tins.contains(so_far_.next_tin) && (!coat.earliest || *coat.earliest < call_.now() + soon))
      coat.detail += hindrances(so_far_.next_tin);
    if (scuff) add("scuff", coat.earliest, "rub down lightly before the next coat", coat.guessed);
    out_.push_back(std::move(coat));
  }

  bool past_pot_life(const Tin& tin) const {
    return tin.pot_until && tin.pot_until->at < call_.now();
  }

  // What speaks against putting it on in the air that is there now: too cold, too damp, dew.
  std::string hindrances(const std::string& tin) const {
    Step coat;
    coat.kind = "coat";
    coat.batch = view_.batch().code;
    coat.at = call_.zone().moment(call_.now());
    coat.pieces = pieces_;
    coat.drawn = {{tin, {}, false}};
    std::vector<std::string> against;
    for (const engine::Finding& finding :
         engine::step_findings(view_.facts, coat, view_.conditions)) {
      static const std::set<std::string> of_the_air{"coat-temperature", "coat-humidity",
                                                    "dew-point-margin"};
      const bool stands_against =
          finding.result == engine::Result::caution || finding.result == engine::Result::stop;
      if (!stands_against || !of_the_air.contains(finding.check)) continue;
      std::string reason = finding.reason.substr(0, finding.reason.find("; guessed"));
      while (reason.ends_with('.')) reason.pop_back();
      against.push_back(std::move(reason));
    }
    return against.empty() ? "" : ". As the air is now: " + join(against, "; ");
  }

  void add_end() {
    for (const auto& [name, detail] :
         {std::pair{engine::handle, "may be handled"},
          {engine::pack, "may be packed"},
          {engine::food_contact,
           "first food contact, by label or usual wait; smell, tack or softness means not ready"}})
      if (const engine::Date* date = find_date(dates_, name);
          date && (!date->at || *date->at > call_.now()))
        add_date(name, detail);
    const engine::Date* food = find_date(dates_, engine::food_contact);
    if (so_far_.next_step == "inspect") {
      add_inspection(food);
    } else if (const auto withdrawn = withdrawn_on(view_, pieces_); !all_signed_)
      add("sign-off", food ? food->at : std::optional(last_step_),
          withdrawn ? fmt::format("{} is on them and withdrawn (entry {}): they do not leave",
                                  withdrawn->id, withdrawn->word.entry)
                    : "decide whether the boards may leave",
          food && food->guessed);
  }

  // Soft finish looks sound: the cure comes first.
  void add_inspection(const engine::Date* food) {
    if (food && !food->at && !food->wait) {  // no figure says when the cure is over
      Instant from = last_step_;
      for (const char* name : {engine::handle, engine::pack})
        if (const engine::Date* date = find_date(dates_, name); date && date->at)
          from = std::max(from, *date->at);
      return add("inspect", from,
                 "inspect each board; when its cure is over is not known: smell, tack or softness "
                 "means not ready",
                 true);
    }
    auto cured = food ? food->at : std::optional(last_step_);
    const bool over = cured && *cured <= call_.now();
    if (cured) cured = std::max(*cured, last_step_);
    add("inspect", cured, over ? "inspect each board" : "inspect each board, once the cure is over",
        food && food->guessed);
  }

  Call& call_;
  const BatchView& view_;
  const std::vector<int>& pieces_;
  bool all_signed_;
  std::vector<engine::Date> dates_;
  engine::Progress so_far_;
  Instant last_step_;
  bool glued_ = false, worked_since_glue_ = false;
  std::vector<Upcoming> out_;
};

}  // namespace

std::string show_near(const Moment& at, const Moment& now) {
  const auto away = std::chrono::sys_days(local_day(at)) - std::chrono::sys_days(local_day(now));
  const char* word = away.count() == 0    ? "today"
                     : away.count() == 1  ? "tomorrow"
                     : away.count() == -1 ? "yesterday"
                                          : nullptr;
  const std::string whole = show(at);
  return word ? word + whole.substr(whole.rfind(' ')) : whole;
}

std::string show_relative(Call& call, Instant at) {
  const Seconds wait = at - call.now();
  const std::string absolute = show_near(call.zone().moment(at), call.zone().moment(call.now()));
  if (wait.count() >= 60) return fmt::format("in {}, {}", show(wait), absolute);
  if (wait.count() <= -60) return fmt::format("since {}, {}", show(-wait), absolute);
  return "now, " + absolute;
}

std::vector<std::vector<int>> alike(const BatchView& view, const std::vector<int>& pieces,
                                    const std::map<int, bool>& is_signed) {
  std::map<std::pair<std::vector<std::int64_t>, bool>, std::vector<int>> groups;
  for (const int piece : pieces) {
    std::vector<std::int64_t> entries;
    for (const Step& step : view.facts.work.steps)
      if (names_piece(step.pieces, piece)) entries.push_back(step.entry);
    groups[{entries, is_signed.at(piece)}].push_back(piece);
  }
  std::vector<std::vector<int>> out;
  for (auto& [key, group] : groups) out.push_back(std::move(group));
  return out;
}

namespace {

bool same_but_for_pieces(const Upcoming& a, const Upcoming& b) {
  return a.step == b.step && a.earliest == b.earliest && a.latest == b.latest &&
         a.guessed == b.guessed && a.detail == b.detail;
}

// Whether who ordered them has got all of these.
bool promise_kept(const BatchView& view, const std::vector<int>& here) {
  if (view.batch().person.empty()) return false;  // and strangers ordered nothing
  return std::all_of(here.begin(), here.end(), [&](int piece) {
    return std::any_of(view.gifts.begin(), view.gifts.end(), [&](const Gift& gift) {
      return gift.person == view.batch().person && names_piece(gift.pieces, piece);
    });
  });
}

}  // namespace

std::vector<Upcoming> upcoming(Call& call, const BatchView& view, const std::vector<int>& pieces) {
  const std::string& code = view.batch().code;
  std::vector<int> here;
  std::map<int, bool> is_signed;
  const auto& all = view.pieces;
  for (const book::PieceState& piece : all)
    if (piece.here() && names_piece(pieces, piece.number)) {
      here.push_back(piece.number);
      is_signed[piece.number] = piece.signed_off.has_value();
    }
  std::vector<Upcoming> out;
  for (const std::int64_t coat : view.facts.open_rags) {
    const Instant since = book::happened_at(call.book(), coat)->at;
    out.push_back(
        {code, "rags", since, since, false,
         fmt::format("rags of entry {}: out flat or under water, then log rags-done", coat)});
  }
  if (here.empty()) return out;
  for (const Way& way : ways_of(view, here, call.now()))
    for (const std::vector<int>& group : alike(view, way.pieces, is_signed)) {
      const bool all_signed =
          std::all_of(group.begin(), group.end(), [&](int piece) { return is_signed[piece]; });
      for (Upcoming& item : Next(call, view, group, all_signed).all()) {
        const auto same = std::find_if(out.begin(), out.end(), [&](const Upcoming& other) {
          return same_but_for_pieces(item, other);
        });
        if (same == out.end())
          out.push_back(std::move(item));
        else
          same->pieces.insert(same->pieces.end(), item.pieces.begin(), item.pieces.end());
      }
    }
  for (Upcoming& item : out) {
    std::sort(item.pieces.begin(), item.pieces.end());
    if (item.pieces.size() == all.size()) item.pieces.clear();
  }
  if (const auto& promised = view.batch().promised; promised && !promise_kept(view, here))
    out.push_back({code,
                   "promised",
                   call.zone().parse(iso(*promised) + " 12:00", call.now(), "promised").at,
                   {},
                   false,
                   "promised for that day"});
  std::stable_sort(out.begin(), out.end(), [](const Upcoming& a, const Upcoming& b) {
    return a.earliest && (!b.earliest || *a.earliest < *b.earliest);
  });
  return out;
}

void say_next(Call& call, const std::string& batch, const std::vector<int>& pieces) {
  call.book().hold();
  say_next(call, view_batch(call, batch), pieces);
}

void say_next(Call& call, const BatchView& view, const std::vector<int>& pieces) {
  for (const Upcoming& item : upcoming(call, view, pieces)) {
    if (item.step == "rags" || item.step == "promised") continue;
    call.say_list("Next:", fmt::format("{}: {}{}.", item.detail,
                                       item.earliest ? show_relative(call, *item.earliest)
                                                     : std::string("at a time that is not known"),
                                       item.guessed ? " (guessed)" : ""));
    return;
  }
}

}  // namespace trencher::commands
