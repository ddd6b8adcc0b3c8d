#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/command.h"
#include "commands/output_file.h"
#include "commands/planning.h"
#include "commands/shop.h"
#include "commands/upcoming.h"
#include "domain/error.h"
#include "domain/hours.h"
#include "domain/text.h"
#include "paper/wall_chart.h"

namespace trencher::commands {
namespace {

constexpr std::int64_t usual_weeks = 4, most_weeks = 6;

Day later(Day day, int days) { return std::chrono::sys_days(day) + std::chrono::days(days); }

paper::WallKind kind_of(const std::string& step) {
  static const std::map<std::string, paper::WallKind> kinds{
      {"coat", paper::WallKind::coat},
      {"glue-up", paper::WallKind::glue_up},
      {"sand", paper::WallKind::sand},
      {"raise-grain", paper::WallKind::raise_grain},
      {"scuff", paper::WallKind::scuff},
      {"inspect", paper::WallKind::inspect},
      {"food-contact", paper::WallKind::food_contact},
      {"promised", paper::WallKind::promised},
      {"rags", paper::WallKind::rags}};
  const auto found = kinds.find(step);
  return found == kinds.end() ? paper::WallKind::other : found->second;
}

// "26-014" is read across the shop as 014, the year beside it.
std::string wall_label(std::string label) {
  if (label.starts_with("draft")) return label;
  std::replace(label.begin(), label.end(), '-', ' ');
  return label.substr(0, label.find(','));
}

class Wall {
 public:
  Wall(Call& call, Day first, int weeks) : call_(call), first_(first) {
    content_.days.resize(static_cast<std::size_t>(weeks) * 7);
  }

  // What stands first on a day stays in its cell where there is little room.
  void add(Instant at, const std::string& label, paper::WallKind kind, const std::string& detail,
           bool guessed, int coat = 0, int coats = 0, bool timed = true) {
    const Moment moment = call_.zone().moment(at);
    add_on(local_day(moment), label, kind, detail, guessed, coat, coats,
           timed ? clock_of(moment) : "");
  }

  void add_on(Day day, const std::string& label, paper::WallKind kind, const std::string& detail,
              bool guessed, int coat = 0, int coats = 0, const std::string& time = "") {
    const auto index = (std::chrono::sys_days(day) - std::chrono::sys_days(first_)).count();
    if (index < 0 || index >= static_cast<std::ptrdiff_t>(content_.days.size())) return;
    paper::WallMark mark;
    mark.label = wall_label(label);
    mark.kind = kind;
    mark.coat = coat;
    mark.coats = coats;
    mark.time = time;
    mark.detail = detail;
    mark.guessed = guessed;
    auto& marks = content_.days[static_cast<std::size_t>(index)].marks;
    // Rags of two coats are dealt with in one go.
    const bool there = std::any_of(marks.begin(), marks.end(), [&](const paper::WallMark& other) {
      return other.label == mark.label && other.kind == mark.kind && other.time == mark.time &&
             other.detail == mark.detail;
    });
    if (!there) marks.push_back(std::move(mark));
  }

  paper::WallContent& content() { return content_; }

 private:
  static std::string clock_of(const Moment& at) {
    const std::string shown = show(at);
    return shown.substr(shown.rfind(' ') + 1);
  }

  Call& call_;
  Day first_;
  paper::WallContent content_;
};

// By the plan: what to do in which sitting.
void lay_plan(Call& call, const Planning& planning, bool packed, Wall& wall) {
  for (const PlannedPieces& of : planning.of) {
    for (std::size_t k = 0; k < of.planned.begins.size(); ++k) {
      const engine::PlannedWork& work = of.chain.work[k];
      std::string detail = work.tin;
      if (work.scuff) detail += detail.empty() ? "scuff first" : ", scuff first";
      const auto& pieces = work.pieces.empty() ? of.pieces : work.pieces;
      if (!pieces.empty()) detail += (detail.empty() ? "" : ", ") + name_pieces(pieces);
      wall.add(planning.at(of.planned.begins[k]), of.label, kind_of(work.step), detail, false,
               work.coat, work.coats);
    }
    const Instant ready = planning.at(of.planned.ready);
    if (of.chain.impossible.empty() && packed)  // which is before food may touch it
      wall.add(ready, of.label, paper::WallKind::other, "may be packed", true);
    else if (of.chain.impossible.empty())
      wall.add_on(call.zone().first_day_from(ready), of.label, paper::WallKind::food_contact, "",
                  true);
    else
      wall.content().notes.push_back(
          fmt::format("{} is not on the chart: {}.", of.label, join(of.chain.impossible, "; ")));
    wall.content().self_heating = !planning.rag_finishes.empty();
  }
}

// What is due and when, of batches that no plan speaks of.
void lay_due(Call& call, const std::vector<std::string>& planned, Wall& wall) {
  KnownShop known;
  for (const std::string& code : book::open_batches(call.book())) {
    const BatchView view = view_batch(call, code, known);
    const bool by_plan = std::find(planned.begin(), planned.end(), code) != planned.end();
    for (const Upcoming& item : upcoming(call, view)) {
      const bool always = item.step == "rags" || item.step == "promised";
      if (!item.earliest || (by_plan && !always)) continue;
      const std::string pieces = item.pieces.empty() ? "" : name_pieces(item.pieces);
      const Instant at = std::max(*item.earliest, call.now());
      const paper::WallKind kind = kind_of(item.step);
      if (item.step == "food-contact") {
        wall.add_on(call.zone().first_day_from(*item.earliest), code, kind, pieces, item.guessed);
      } else if (item.step == "promised") {
        wall.add(*item.earliest, code, kind, pieces, false, 0, 0, false);
      } else if (item.step == "coat") {
        const engine::Progress so_far =
            engine::progress(view.facts.work, item.pieces.empty() ? 0 : item.pieces[0]);
        wall.add(at, code, kind, so_far.next_tin + (pieces.empty() ? "" : " " + pieces),
                 item.guessed, so_far.coats_done + 1, so_far.coats_planned);
        if (item.latest)
          wall.add(*item.latest, code, paper::WallKind::latest,
                   fmt::format("coat {}", so_far.coats_done + 1), item.guessed);
      } else {
        const bool named = kind == paper::WallKind::other;
        wall.add(at, code, kind, named ? item.step + (pieces.empty() ? "" : " " + pieces) : pieces,
                 item.guessed);
      }
    }
  }
}

void lay_days(Call& call, Day first, paper::WallContent& content) {
  const Workshop& workshop = call.settings();
  for (std::size_t i = 0; i < content.days.size(); ++i) {
    const Day day = later(first, static_cast<int>(i));
    paper::WallDay& of = content.days[i];
    for (const auto& market : workshop.market_days)
      if (market.day == day) {
        of.market = true;
        of.market_name = market.name;
      }
    of.off = std::find(workshop.days_off.begin(), workshop.days_off.end(), day) !=
             workshop.days_off.end();
    if (of.off || of.market) continue;
    const auto weekday = static_cast<int>(std::chrono::weekday(day).iso_encoding());
    std::vector<std::string> hours;
    for (const DayHours& each : workshop.hours)
      if (each.day == weekday)
        hours.push_back(show_clock(each.from) + "–" + show_clock(each.until));
    of.hours = join(hours, " ");
  }
}

}  // namespace

int chart(Call& call) {
  PlanAsked asked;
  std::string out, sheet = "a4", weeks_typed;
  bool no_plan = false;
  declare_plan(call, asked);
  call.option("-o", "FILE.pdf", out, "where to write the chart");
  call.option("--weeks", "N", weeks_typed, "how many weeks, 1 to 6; else four, or what fits");
  call.option("--paper", "SHEET", sheet, "a4 or letter");
  call.flag("--no-plan", no_plan, "what is due at its soonest, not by your hours");
  call.parse();
  const std::filesystem::path path = need_pdf_path(call, out);
  Call::check_known(sheet, "Sheet", {"a4", "letter"});
  const int asked_weeks = static_cast<int>(
      weeks_typed.empty() ? usual_weeks : parse_count(weeks_typed, "--weeks", 1, most_weeks));
  const Workshop& workshop = call.settings();
  const Day today = local_day(call.zone().moment(call.now()));
  const auto weekday = std::chrono::weekday(today).iso_encoding();
  const Day first = later(today, 1 - static_cast<int>(weekday));
  const bool by_plan = !no_plan && !workshop.hours.empty() &&
                       (!asked.drafts.empty() || !book::open_batches(call.book()).empty());
  Wall wall(call, first, asked_weeks);
  std::vector<std::string> planned;
  if (by_plan) {
    const Planning planning = make_planning(call, asked, false);
    lay_plan(call, planning, asked.packed, wall);
    for (const PlannedPieces& of : planning.of) planned.push_back(of.batch);
  }
  lay_due(call, planned, wall);
  paper::WallContent& content = wall.content();
  content.workshop = workshop.maker;
  content.made_on = call.show_time(call.now());
  content.first = first;
  content.today = today;
  lay_days(call, first, content);
  for (paper::WallDay& day : content.days)
    std::stable_sort(day.marks.begin(), day.marks.end(),
                     [](const auto& a, const auto& b) { return a.time < b.time; });
  paper::WallOptions options;
  options.sheet = sheet == "letter" ? paper::letter : paper::a4;
  options.made_at = call.now();
  int weeks = asked_weeks;
  if (weeks_typed.empty()) weeks = std::clamp(paper::weeks_that_fit(content, options), 1, weeks);
  content.days.resize(static_cast<std::size_t>(weeks) * 7);
  content.span = show(first) + " to " + show(later(first, weeks * 7 - 1));
  try {
    paper::write_wall_chart(content, options, path);
  } catch (const Error& failure) {
    if (failure.kind() != Error::Kind::request || weeks == 1) throw;
    throw Error::request(fmt::format("{} do not fit on one sheet; --weeks {} may. {}",
                                     count_of(weeks, "week"), weeks - 1, failure.what()));
  }
  if (call.json())
    return call.done(Json::object().set("file", out).set("weeks", weeks).set("planned", by_plan));
  call.say(fmt::format("The wall chart for {}, {}, is in {}{}.", count_of(weeks, "week"),
                       content.span, out,
                       weeks < asked_weeks ? "; more would not fit on the sheet" : ""));
  if (!by_plan && workshop.hours.empty())
    call.say(
        "It has what is due at its soonest; 'trencher workshop hours' lets it show your sittings.");
  return 0;
}

}  // namespace trencher::commands
