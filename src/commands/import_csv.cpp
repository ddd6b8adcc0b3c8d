#include "commands/import_csv.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <sstream>

#include "commands/copies.h"
#include "commands/mover.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// In the order of the files and rows.
void sort(std::vector<MovingProblem>& problems) {
  const auto place = [](const MovingProblem& problem) {
    const auto& files = moving_files();
    return std::find_if(files.begin(), files.end(),
                        [&](const MovingFile& file) { return file.name == problem.file; }) -
           files.begin();
  };
  std::stable_sort(problems.begin(), problems.end(),
                   [&](const MovingProblem& a, const MovingProblem& b) {
                     const auto of_a = place(a), of_b = place(b);
                     return of_a != of_b ? of_a < of_b : a.row < b.row;
                   });
}

std::string where(const Moved& moved) {
  return fmt::format("{}, row {}", moved.row->file->name, moved.row->row);
}

// Of a caution that many rows share, it is said once.
void say_findings(Call& call, const std::vector<Moved>& moved) {
  constexpr std::size_t most = 3;
  std::map<std::string, std::vector<std::string>> cautions;
  for (const Moved& row : moved)
    for (const Json& finding : row.findings.items()) {
      if (finding.text("result") == "stop")
        call.say_list("stop:",
                      fmt::format("{}: {}{}", where(row), finding.text("reason"),
                                  row.because.empty() ? "" : " Because: " + row.because + "."));
      else if (finding.text("result") == "caution")
        cautions[finding.text("reason")].push_back(where(row));
    }
  for (auto& [reason, rows] : cautions) {
    const std::size_t others = rows.size() > most ? rows.size() - most : 0;
    rows.resize(std::min(rows.size(), most));
    call.say_list("caution:",
                  fmt::format("{}{}: {}", join(rows, "; "),
                              others ? fmt::format("; and {} more", others) : "", reason));
  }
}

std::map<std::string, std::int64_t> rows_of_files(const std::vector<Moved>& moved) {
  std::map<std::string, std::int64_t> out;
  for (const Moved& row : moved) ++out[std::string(row.row->file->name)];
  return out;
}

void say_moved(Call& call, const std::vector<Moved>& moved, bool dry_run) {
  std::vector<std::string> files;
  for (const auto& [file, count] : rows_of_files(moved))
    files.push_back(fmt::format("{} of {}", count, file));
  std::vector<std::vector<std::string>> made;
  for (const Moved& row : moved)
    if (const std::string label = row.row->cell("label"); !label.empty())
      made.push_back({row.id, label});
  if (!made.empty()) call.table({"Id", "In the old sheets"}, made);
  say_findings(call, moved);
  const std::int64_t count = static_cast<std::int64_t>(moved.size());
  const std::string numbers =
      moved.empty() ? "" : fmt::format(", {} to {}", moved.front().entry, moved.back().entry);
  call.say(dry_run ? fmt::format("Dry run: nothing was written. It would be {}{}: {}.",
                                 count_of(count, "entry", "entries"), numbers, join(files, ", "))
                   : fmt::format("Written: {}{}: {}.", count_of(count, "entry", "entries"), numbers,
                                 join(files, ", ")));
}

Json problems_json(const std::vector<MovingProblem>& problems) {
  Json out = Json::array();
  for (const MovingProblem& problem : problems) {
    Json one = Json::object().set("file", problem.file);
    if (problem.row > 0) one.set("row", problem.row);
    if (!problem.column.empty()) one.set("column", problem.column);
    out.push(one.set("what", problem.what));
  }
  return out;
}

Json moved_json(const std::vector<Moved>& moved) {
  Json out = Json::array();
  for (const Moved& row : moved) {
    Json one = Json::object().set("file", row.row->file->name).set("row", row.row->row);
    one.set("entry", row.entry).set("id", row.id);
    if (const std::string label = row.row->cell("label"); !label.empty()) one.set("label", label);
    out.push(one.set("findings", row.findings));
  }
  return out;
}

bool has_stop(const std::vector<Moved>& moved) {
  return std::any_of(moved.begin(), moved.end(), [](const Moved& row) {
    const auto& all = row.findings.items();
    return std::any_of(all.begin(), all.end(),
                       [](const Json& finding) { return finding.text("result") == "stop"; });
  });
}

// Error::request where nobody of the book is called so.
void demand_worker(Call& call, const std::string& by) {
  std::ostringstream out;
  const Surroundings alone{.now = call.now(), .in = call.in(), .out = out, .err = out};
  Call as("import", "", Access::write, {"--by=" + by}, alone);
  as.run_within(call.book(), {});
  as.parse();
  as.stamp();
}

}  // namespace

int import_csv(Call& call, const MovingIn& from) {
  std::vector<MovingProblem> problems;
  if (!from.by.empty()) demand_worker(call, from.by);
  const std::vector<MovingRow> rows = read_moving_folder(from.folder, problems);
  call.zone();  // before the book is locked
  book::Writing writing(call.book());
  Mover mover(call, from, problems);
  mover.enter(rows);
  sort(problems);
  const bool written = problems.empty() && !from.dry_run;
  if (written) writing.commit();
  const std::vector<Moved>& moved = mover.moved();
  const int status = !problems.empty() ? 2 : has_stop(moved) ? 1 : 0;
  if (call.json()) {
    Json out = Json::object().set("written", written).set("dry_run", from.dry_run);
    out.set("problems", problems_json(problems));
    call.done(out.set("rows", problems.empty() ? moved_json(moved) : Json::array()));
    return status;
  }
  if (problems.empty()) {
    say_moved(call, moved, from.dry_run);
    return status;
  }
  for (const MovingProblem& problem : problems) call.say_list("-", problem.text());
  call.say(fmt::format("Nothing was written: {} of {}.",
                       count_of(static_cast<std::int64_t>(problems.size()), "problem"),
                       count_of(static_cast<std::int64_t>(rows.size()), "row")));
  return status;
}

}  // namespace trencher::commands
