#include <fmt/format.h>

#include <algorithm>
#include <chrono>
#include <future>
#include <map>
#include <span>
#include <sstream>
#include <system_error>
#include <tuple>

#include "book/amended.h"
#include "book/kinds.h"
#include "book/queries.h"
#include "commands/amend.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/due_lines.h"
#include "commands/recall_progress.h"
#include "domain/error.h"
#include "domain/text.h"
#include "engine/amounts.h"
#include "engine/schedule_history.h"

namespace trencher::commands {
namespace {

constexpr std::chrono::days soon_out_of_date{30};
constexpr Seconds closing{86400};  // a window that ends within a day

using Line = DueLine;

Line about(const std::string& id, const char* step, const std::string& detail,
           std::optional<Instant> since) {
  return {{"", step, since, {}, false, detail}, id};
}

void add_recalls(Call& call, std::vector<Line>& out) {
  for (const RecallCase& of : open_recalls(call)) {
    const Withdrawal& word = of.scope.words.front();
    out.push_back(about(join(word.ids, " "), "recall",
                        fmt::format("withdrawn (entry {0}): {1}. Of {2}: {3}; 'trencher recall "
                                    "status {0}' lists them",
                                    word.entry, word.why, count_of(of.numbers.pieces, "piece"),
                                    progress_words(of.numbers)),
                        word.at.at));
  }
}

// "correction of entry 9", "readings".
std::string what_it_was(const book::Effective& entry) {
  return book::is_amendment(entry.entry.kind)
             ? fmt::format("{} of entry {}", entry.entry.kind, entry.body.integer("entry"))
             : entry.entry.kind;
}

// "first food contact was …, now …; Walnut was none recorded, now contains; and 2 more"
std::string changes_in_words(const Json& body) {
  std::vector<std::string> changed;
  for (const MadeWrong& wrong : made_wrong(body))
    for (const std::string& words : words_of_changes(wrong.changes))
      if (std::find(changed.begin(), changed.end(), words) == changed.end())
        changed.push_back(words);
  return join(changed, "; ");
}

// What corrections and the like made wrong, and what is still to be done about it.
void add_wrongs(Call& call, std::vector<Line>& out) {
  std::map<std::int64_t, std::map<std::string, std::vector<std::string>>> open;
  for (const book::OpenWrong& wrong : book::open_wrongs(call.book()))
    if (wrong.what != "complaint") open[wrong.entry][wrong.what].push_back(wrong.piece);
  for (const auto& [number, things] : open) {
    const auto entry = book::effective_entry(call.book(), number);
    std::vector<std::string> to_do;
    for (const auto& [what, codes] : things)
      to_do.push_back(what == "sign-off" ? "sign off anew " + join_words(codes)
                      : what == "card"   ? "print the card anew of " + join_words(codes)
                      : what == "answer"
                          ? "answer anew whoever asked about " + join_words(codes)
                          : fmt::format("tell who has {} and enter it with 'trencher dealt {}'",
                                        join_words(codes), number));
    const std::string changed = changes_in_words(entry->body);
    out.push_back(
        about(fmt::format("entry {}", number), "made-wrong",
              fmt::format("{}: {}{}", what_it_was(*entry),
                          changed.empty() ? "" : changed + ". To do: ", join(to_do, "; ")),
              entry->entry.written_at));
  }
}

// Complaints that nobody has dealt with.
void add_complaints(Call& call, std::vector<Line>& out) {
  std::map<std::int64_t, std::vector<std::string>> open;
  for (const book::OpenWrong& wrong : book::open_wrongs(call.book()))
    if (wrong.what == "complaint") open[wrong.entry].push_back(wrong.piece);
  for (const auto& [number, codes] : open) {
    const auto entry = book::effective_entry(call.book(), number);
    const Complaint complaint = Complaint::read(entry->body);
    out.push_back(about(
        fmt::format("entry {}", number), "complaint",
        fmt::format("{}: {} ({}). To do: answer it, see 'trencher complaint {}', and enter it "
                    "with 'trencher dealt {}'",
                    join_words(codes), complaint.what, severity_words(complaint.severity), number,
                    number),
        entry->happened.at));
  }
}

// What the coats that are still to come will take from each tin.
void add_needs(const BatchView& view, const std::vector<int>& here,
               std::map<std::string, std::int64_t>& needs_ul) {
  if (here.empty()) return;
  const engine::BatchWork& work = view.facts.work;
  // Where nothing was done to some alone, what comes is the same for all.
  const bool alike =
      work.turns.empty() && std::all_of(work.steps.begin(), work.steps.end(),
                                        [](const Step& step) { return step.pieces.empty(); });
  const auto boards = static_cast<std::int64_t>(alike ? here.size() : 1);
  for (const int piece : alike ? std::vector{here.front()} : here)
    for (const engine::PieceHistory& history : engine::histories(work, piece))
      for (const engine::PlannedCoat& coat : history.to_come()) {
        const auto tin = view.facts.work.tins.find(history.tin_of(coat.slot));
        if (tin == view.facts.work.tins.end()) continue;
        const auto& coverage = tin->second.label.coverage;
        needs_ul[tin->first] +=
            coverage
                ? boards *
                      engine::coat_amount(view.batch().size, 1, Coverage{coverage->value}).value
                : 0;
      }
}

void add_tins(Call& call, const std::map<std::string, std::int64_t>& needs_ul,
              std::vector<Line>& out) {
  const Day today = local_day(call.zone().moment(call.now()));
  for (const auto& [id, need_ul] : needs_ul) {
    const Tin tin = load_mix(call, id).at(id);
    const std::string name = id + " " + tin.name;
    if (const auto until = use_by(tin);
        until && std::chrono::sys_days(*until) < std::chrono::sys_days(today) + soon_out_of_date)
      out.push_back(about(id, "tin-date",
                          fmt::format("{} {} {}, and boards in work are to get more of it", name,
                                      std::chrono::sys_days(*until) < std::chrono::sys_days(today)
                                          ? "was good until"
                                          : "is good until",
                                      show(*until)),
                          call.zone().parse(iso(*until) + " 12:00", call.now(), "best before").at));
    const auto left = amount_left(call, tin);
    if (!left || left->measure != Amount::Measure::volume || left->value >= need_ul) continue;
    out.push_back(
        about(id, "tin-low",
              fmt::format(
                  "{} holds {} by the record; the coats to come take about {}", name,
                  show(Amount{left->measure, std::max<std::int64_t>(0, left->value)}, call.units()),
                  show(Amount{left->measure, need_ul}, call.units())),
              {}));
  }
}

// Rags burn whether or not a board of their batch is still here.
void add_rags_of_closed(Call& call, std::vector<Line>& out) {
  const auto open = book::open_batches(call.book());  // in the order of their codes
  for (const auto& [entry, batch] : book::all_open_rags(call.book())) {
    if (std::binary_search(open.begin(), open.end(), batch)) continue;
    const Instant since = book::happened_at(call.book(), entry)->at;
    out.push_back(
        {{batch, "rags", since, since, false,
          fmt::format("rags of entry {}: out flat or under water, then log rags-done", entry)},
         ""});
  }
}

// The parts of the morning page, in order.
int part_of(Call& call, const Line& line) {
  const Upcoming& item = line.item;
  if (item.step == "recall") return 0;
  if (item.step == "rags") return 1;  // they burn
  if (item.step == "complaint") return 2;
  if (item.step == "made-wrong") return 3;
  if (item.step.starts_with("tin-")) return 8;
  if (item.step == "promised") return 7;
  if (item.latest && *item.latest < call.now() + closing) return 4;
  return item.earliest && *item.earliest <= call.now() ? 5 : 6;
}

// By part, in each by time, those without one last; else as they come.
std::vector<Line> sorted(Call& call, std::vector<Line> lines) {
  std::vector<std::tuple<int, Instant, std::size_t>> order;
  order.reserve(lines.size());
  for (const Line& line : lines)
    order.emplace_back(part_of(call, line), line.item.earliest.value_or(Instant::max()),
                       order.size());
  std::sort(order.begin(), order.end());
  std::vector<Line> out;
  out.reserve(lines.size());
  for (const auto& [part, at, place] : order) out.push_back(std::move(lines[place]));
  return out;
}

constexpr std::array part_names{"Open recalls",
                                "Rags",
                                "Complaints, not yet dealt with",
                                "Made wrong, not yet dealt with",
                                "Windows closing",
                                "To be done now",
                                "Coming",
                                "Promised",
                                "Tins"};

}  // namespace

void print_due(Call& call, const std::vector<DueLine>& lines, std::size_t most) {
  call.say(fmt::format(
      "{}. 'Guessed' means: counted on usual waits or on conditions that nobody measured.",
      call.show_time(call.now())));
  int part = -1;
  for (const Line& line : std::span(lines).first(std::min(most, lines.size()))) {
    const Upcoming& item = line.item;
    if (const int of = part_of(call, line); of != part) {
      part = of;
      call.say(fmt::format("{}:", part_names[static_cast<std::size_t>(part)]));
    }
    std::string when = item.earliest ? show_relative(call, *item.earliest) : "time not known";
    if (item.step == "promised") when = show(local_day(call.zone().moment(*item.earliest)));
    if (item.latest && item.step != "rags")
      when += fmt::format("; latest {}", call.show_time(*item.latest));
    if (item.guessed) when += " (guessed)";
    if (!item.pieces.empty()) when = name_pieces(item.pieces) + ", " + when;
    const bool timeless = !line.id.empty() && item.step != "recall";
    call.say_list(fmt::format("  {:<8} {:<12}", line.id.empty() ? item.batch : line.id, item.step),
                  timeless ? item.detail : when + ": " + item.detail);
  }
}

namespace {

Json json_of(Call& call, const std::vector<Line>& lines) {
  Json out = Json::array();
  const auto time = [&](const std::optional<Instant>& at) {
    return at ? Json(iso(call.zone().moment(*at))) : Json();
  };
  for (const auto& [item, id] : lines) {
    Json row = Json::object();
    row.set_or_null("batch", item.batch.empty() ? Json() : Json(item.batch)).set("step", item.step);
    row.set_or_null("earliest", time(item.earliest)).set_or_null("latest", time(item.latest));
    row.set("guessed", item.guessed).set("detail", item.detail);
    if (!id.empty()) row.set("about", id);
    if (!item.pieces.empty()) row.set("pieces", Json::list(item.pieces));
    out.push(std::move(row));
  }
  return out;
}

// What some open batches ask for.
struct InWork {
  std::vector<Line> lines;
  std::map<std::string, std::int64_t> needs_ul;  // by tin
};

InWork in_work(Call& call, std::span<const std::string> batches) {
  InWork out;
  KnownShop known;
  for (const std::string& batch : batches) {
    const BatchView view = view_batch(call, batch, known);
    for (Upcoming& item : upcoming(call, view)) out.lines.push_back({std::move(item), ""});
    std::vector<int> here;
    for (const book::PieceState& piece : view.pieces)
      if (piece.here()) here.push_back(piece.number);
    add_needs(view, here, out.needs_ul);
  }
  return out;
}

// The same by a thread of its own, which reads the book for itself. While `call` holds the book,
// nobody can change it, so that both see the same. Error::book where somebody waits to write, and
// lets nobody else in.
std::future<InWork> in_work_beside(Call& call, std::span<const std::string> batches) {
  return std::async(std::launch::async, [path = call.book().path(), now = call.now(), batches] {
    book::Book book = book::Book::open_held(path, false);
    std::istringstream nothing;
    std::ostringstream unheard;
    const Surroundings alone{.now = now, .in = nothing, .out = unheard, .err = unheard};
    Call beside("due", "", Access::read, {}, alone);
    beside.run_within(book, {});
    return in_work(beside, batches);
  });
}

InWork in_work_of_all(Call& call) {
  constexpr std::size_t worth_a_thread = 200;  // batches: some 20 ms
  const std::vector<std::string> batches = book::open_batches(call.book());
  if (batches.size() < worth_a_thread) return in_work(call, batches);
  const std::span<const std::string> all(batches);
  const auto [front, back] = std::pair(all.first(all.size() / 2), all.subspan(all.size() / 2));
  std::future<InWork> second;
  try {
    second = in_work_beside(call, back);
  } catch (const std::system_error&) {  // no thread is to be had
    return in_work(call, batches);
  }
  InWork out = in_work(call, front);
  InWork more;
  try {
    more = second.get();
  } catch (const Error&) {
    more = in_work(call, back);
  }
  std::move(more.lines.begin(), more.lines.end(), std::back_inserter(out.lines));
  for (const auto& [tin, need_ul] : more.needs_ul) out.needs_ul[tin] += need_ul;
  return out;
}

}  // namespace

std::vector<DueLine> due_lines(Call& call) {
  std::vector<DueLine> lines;
  add_recalls(call, lines);
  add_wrongs(call, lines);
  add_complaints(call, lines);
  InWork work = in_work_of_all(call);
  std::move(work.lines.begin(), work.lines.end(), std::back_inserter(lines));
  add_tins(call, work.needs_ul, lines);
  add_rags_of_closed(call, lines);
  return sorted(call, std::move(lines));
}

int due(Call& call) {
  call.parse();
  const std::vector<DueLine> lines = due_lines(call);
  if (call.json()) return call.done(json_of(call, lines));
  if (lines.empty())
    call.say(book::open_batches(call.book()).empty()
                 ? "Nothing is due: no batch is open. 'trencher batch' makes one."
                 : "Nothing is due: what is here is finished and signed off.");
  else
    print_due(call, lines, lines.size());
  return 0;
}

}  // namespace trencher::commands
