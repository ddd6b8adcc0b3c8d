#include "commands/mover.h"

#include <fmt/format.h>

#include <algorithm>
#include <cctype>
#include <sstream>

#include "book/queries.h"
#include "commands/because.h"
#include "commands/command.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// Whether a sentence speaks of that id, and not of one that is longer.
bool names_id(std::string_view said, std::string_view id) {
  const auto part_of_word = [&](std::size_t at) {
    return at < said.size() && std::isalnum(static_cast<unsigned char>(said[at]));
  };
  for (std::size_t at = said.find(id); at != std::string_view::npos; at = said.find(id, at + 1))
    if (!(at > 0 && part_of_word(at - 1)) && !part_of_word(at + id.size())) return true;
  return false;
}

// "0" stands for a digit.
bool has_form(std::string_view text, std::string_view form) {
  return text.size() == form.size() &&
         std::equal(text.begin(), text.end(), form.begin(),
                    [](char c, char of) { return of == '0' ? c >= '0' && c <= '9' : c == of; });
}

// "2026-12-05", "2026-12-05 14:30", with an offset or without. What else the commands take ("2h
// ago") means nothing in a sheet.
bool is_written_time(std::string_view text) {
  if (!day_from_iso(text.substr(0, 10))) return false;
  text.remove_prefix(10);
  if (text.empty()) return true;
  if (!text.starts_with(' ') && !text.starts_with('T')) return false;
  text.remove_prefix(1);
  const std::size_t end = std::min(text.find_first_of("Z+-"), text.size());
  const std::string_view clock = text.substr(0, end), offset = text.substr(end);
  return (has_form(clock, "00:00") || has_form(clock, "0:00") || has_form(clock, "00:00:00")) &&
         (offset.empty() || offset == "Z" || has_form(offset, "+00:00") ||
          has_form(offset, "-00:00"));
}

// F3, 26-014, 26-014-01-29
bool looks_like_id(std::string_view label) {
  if (has_form(label.substr(0, 6), "00-000")) return true;
  const std::string_view number = label.substr(1);
  return label.find_first_of("WGFXPwgfxp") == 0 && !number.empty() &&
         number.find_first_not_of("0123456789") == std::string_view::npos;
}

void replace_all(std::string& text, const std::string& what, const std::string& with) {
  for (std::size_t at = 0; (at = text.find(what, at)) != std::string::npos; at += with.size())
    text.replace(at, what.size(), with);
}

const Command& command_of(std::string_view name) {
  const auto all = commands();
  return *std::find_if(all.begin(), all.end(), [&](const Command& c) { return c.name == name; });
}

}  // namespace

void Mover::complain(const MovingRow& row, std::string_view column, const std::string& what) {
  problems_.push_back(row.problem(column, what));
  failed_.insert(&row);
}

// What earlier imports wrote and nobody struck since.
void Mover::learn() {
  call_.book().each_entry([&](const book::Entry& entry) {
    if (entry.body.find("\"imported\":") == std::string::npos) return;
    const Json body = book::parse_body(entry.body);
    const Json* imported = body.find("imported");
    if (!imported || !imported->is_object()) return;
    const auto effective = book::effective_entry(call_.book(), entry.number);
    if (effective->struck_by) return;
    known_rows_.emplace(imported->maybe_text("digest").value_or(""), entry.number);
    const auto label = imported->maybe_text("label");
    for (const char* id : {"lot", "tin", "batch"})
      if (const auto made = body.maybe_text(id); label && made) labels_[*label] = {nullptr, *made};
  });
}

void Mover::take_label(const MovingRow& row) {
  const std::string label = row.cell("label");
  if (label.empty()) return;
  if (looks_like_id(label))
    return complain(row, "label",
                    fmt::format("'{}' looks like an id that the book gives itself; call it "
                                "otherwise.",
                                brief(label)));
  if (label.find_first_of(";=") != std::string::npos)
    return complain(row, "label",
                    fmt::format("'{}' holds a ; or =, which stand between labels and behind them.",
                                brief(label)));
  const auto [at, added] = labels_.try_emplace(label, Labelled{&row, "", false});
  if (added) return;
  const Labelled& other = at->second;
  complain(row, "label",
           other.row ? fmt::format("'{}' is the label of {}, row {}, too.", brief(label),
                                   other.row->file->name, other.row->row)
                     : fmt::format("'{}' is in the book already: an import made {} of it.",
                                   brief(label), other.id));
}

std::optional<Moment> Mover::moment_of(const MovingRow& row, std::string_view column) {
  const std::string text = row.cell(column);
  if (text.empty()) return {};
  try {
    if (!is_written_time(text))
      throw Error::request(fmt::format(
          "'{}' is neither a day, as 2026-12-05, nor a time, as 2026-12-05 14:30.", brief(text)));
    if (const auto day = day_from_iso(text); day && row.file->day_begins)
      return call_.zone().moment(call_.zone().at(*day));
    return call_.zone().parse(text, call_.now(), column);
  } catch (const Error& failure) {
    if (failure.kind() != Error::Kind::request) throw;
    complain(row, column, failure.what());
    return {};
  }
}

std::vector<Mover::Action> Mover::actions_of(const std::vector<MovingRow>& rows) {
  std::vector<Action> out;
  const auto& files = moving_files();
  for (const MovingRow& row : rows) {
    const auto order = static_cast<std::size_t>(row.file - files.data()) * 2;
    if (const auto known = known_rows_.find(row.digest()); known != known_rows_.end()) {
      complain(row, "",
               fmt::format("this row is in the book already, as entry {}.", known->second));
      continue;
    }
    take_label(row);
    if (!row.whole) failed_.insert(&row);
    const auto signed_off = moment_of(row, "signed-off");
    if (signed_off) out.push_back({&row, *signed_off, order, true});
    const auto at = moment_of(row, "when");
    if (!at) failed_.insert(&row);
    out.push_back({&row, at.value_or(call_.zone().moment(call_.now())), order + 1, false});
  }
  std::stable_sort(out.begin(), out.end(), [](const Action& a, const Action& b) {
    return a.at.at != b.at.at ? a.at.at < b.at.at : a.order < b.order;
  });
  return out;
}

Json Mover::run(const Command& command, std::vector<std::string> words, Json imported) {
  words.emplace_back("--json");
  std::ostringstream out;
  Surroundings surroundings{.now = call_.now(), .in = call_.in(), .out = out, .err = out};
  surroundings.terminal = false;
  Call within(std::string(command.name), "", Access::write, words, surroundings);
  within.run_within(call_.book(), std::move(imported));
  command.run(within);
  return Json::parse(out.str(), true);
}

Json Mover::run(const Action& action, const std::vector<std::string>& words,
                const std::string& because) {
  const MovingRow& row = *action.row;
  const std::string label = row.cell("label");
  std::vector<std::string> all = words;
  std::string note = row.cell("note");
  if (!label.empty() && row.cell("name") != label)
    note = fmt::format("In the old sheet: {}{}{}", label, note.empty() ? "." : ". ", note);
  if (!note.empty()) all.push_back("--note=" + note);
  if (!because.empty()) all.push_back("--because=" + because);
  const std::string by = row.cell("by").empty() ? from_.by : row.cell("by");
  if (!by.empty()) all.push_back("--by=" + by);
  all.push_back("--at=" + iso(action.at));
  Json imported = Json::object().set("file", row.file->name).set("row", row.row);
  imported.set("digest", row.digest());
  if (!label.empty()) imported.set("label", label);
  return run(command_of(action.signs_off ? "sign-off" : row.file->command), std::move(all),
             std::move(imported));
}

// In the words of the sheet: its columns in place of the options.
MovingProblem Mover::problem_of(const Action& action, std::string said) const {
  const MovingRow& row = *action.row;
  std::string column;
  if (said.find(asks_because) != std::string::npos) {
    replace_all(said, asks_because,
                "To take it all the same, say why in the column because, or for all such rows with "
                "--because TEXT.");
    return row.problem("because", said);
  }
  replace_all(said, "log: '", "'");
  replace_all(said, "--at", action.signs_off ? "--signed-off" : "--when");
  replace_all(said, "--sound or --not-sound", "--result (sound, not sound)");
  std::vector<std::string> names = names_of_columns(*row.file);
  std::sort(names.begin(), names.end(),
            [](const auto& a, const auto& b) { return a.size() > b.size(); });
  std::size_t first = std::string::npos;
  for (const std::string& name : names)
    if (const std::size_t at = said.find("--" + name); at < first) {
      first = at;
      column = name;
    }
  if (!column.empty() && said.find("is not understood") != std::string::npos)
    return row.problem(column,
                       fmt::format("it does not go with '{}'.",
                                   brief(row.file->command == "log" ? row.cell("step") : column)));
  for (const std::string& name : names) replace_all(said, "--" + name, name);
  for (const auto& [name, cell] : row.cells)
    if (column.empty() && said.find("'" + cell + "'") != std::string::npos) column = name;
  // A label stands for the name, and in the note.
  if ((column == "note" || column == "name") && row.cell(column).empty()) column = "label";
  return row.problem(column, said);
}

void Mover::attempt(const Action& action, bool trial) {
  const MovingRow& row = *action.row;
  const auto words = words_of(action);
  if (!words) return;
  std::string because = row.cell("because");
  Json told;
  book::Writing writing(call_.book());
  try {
    try {
      told = run(action, *words, because);
    } catch (const Error& failure) {
      if (!because.empty() || from_.because.empty() ||
          std::string_view(failure.what()).find(asks_because) == std::string_view::npos)
        throw;
      because = from_.because;
      told = run(action, *words, because);
    }
  } catch (const Error& failure) {
    if (failure.kind() != Error::Kind::request) throw;
    problems_.push_back(problem_of(action, failure.what()));
    failed_.insert(&row);
    return;
  }
  if (trial) return;
  writing.commit();
  Json found = Json::array();
  for (const Json& finding : told.at("findings").items())
    if (finding.text("result") != "fine") found.push(finding);
  moved_.push_back({&row, told.integer("entry"), told.text("id"), std::move(found), because});
  if (const std::string label = row.cell("label"); !label.empty())
    labels_.at(label).id = told.text("id");
}

std::map<std::string, std::string> Mover::stand_ins(const Action& action) try {
  const std::vector<Place> places = book::places(call_.book());
  if (places.empty()) return {};
  const Instant before = std::min(action.at.at, call_.now()) - Seconds{3600};
  std::vector<std::string> common{"--at=" + iso(call_.zone().moment(before))};
  const std::string by = action.row->cell("by").empty() ? from_.by : action.row->cell("by");
  if (!by.empty()) common.push_back("--by=" + by);
  const auto make = [&](const char* command, std::vector<std::string> words) {
    words.insert(words.end(), common.begin(), common.end());
    return run(command_of(command), std::move(words), {}).text("id");
  };
  std::map<std::string, std::string> out;
  out["wood"] = make("receive", {"wood", "--species=unknown", "--supplier=S", "--lot=L"});
  out["glue"] = make("receive", {"glue", "--kind=pva-d3", "--name=G", "--supplier=S", "--lot=L"});
  out["finish"] =
      make("receive", {"finish", "--kind=mineral-oil", "--name=F", "--supplier=S", "--lot=L"});
  out["batch"] = make("batch", {"--wood=" + out["wood"], "--finish=" + out["finish"],
                                "--schedule=oil", "--pieces=999", "--size=300x200x20mm",
                                "--use=cutting-board", "--place=" + places.front().id});
  if (action.row->file->command == "log")
    out["from"] = out[lower_ascii(action.row->cell("step")) == "glue-up" ? "glue" : "finish"];
  return out;
} catch (const Error& failure) {
  if (failure.kind() != Error::Kind::request) throw;
  return {};  // as where the row's worker is not known
}

void Mover::look_further(const Action& action, std::set<std::string> seen) {
  const auto& columns = action.row->file->columns;
  const bool refers = std::any_of(columns.begin(), columns.end(), [&](const MovingColumn& column) {
    return column.takes == Takes::batch || column.takes == Takes::labels ||
           column.takes == Takes::tins;
  });
  const book::Writing undone(call_.book());
  const std::map<std::string, std::string> things =
      refers ? stand_ins(action) : std::map<std::string, std::string>{};
  MovingRow row = *action.row;
  for (std::size_t turn = 0; turn < row.file->columns.size(); ++turn) {
    for (const MovingColumn& column : row.file->columns) {
      const std::string name(column.name);
      const bool lacks = !row.whole && column.required && row.cell(name).empty();
      if (!seen.contains(name) && !lacks) continue;
      row.cells.erase(name);
      if (!column.stand_in.empty()) row.cells.emplace(name, column.stand_in);
      if (const auto thing = things.find(name); thing != things.end()) row.cells.insert(*thing);
    }
    const std::size_t before = problems_.size();
    Action trial = action;
    trial.row = &row;
    attempt(trial, true);
    failed_.erase(&row);
    if (problems_.size() == before) return;
    // What comes of a stand-in, or of what is missing, is nothing new.
    const std::string column = problems_[before].column;
    const bool of_stand_in = std::any_of(things.begin(), things.end(), [&](const auto& thing) {
      return names_id(problems_[before].what, thing.second);
    });
    const bool is_new = !column.empty() && !of_stand_in && !action.row->cell(column).empty() &&
                        seen.insert(column).second;
    problems_.resize(before + (is_new ? 1 : 0));
    if (!is_new) return;
  }
}

void Mover::enter(const Action& action) {
  const bool failed = failed_.contains(action.row);
  if (!failed) attempt(action, false);
  if (!failed_.contains(action.row) || (failed && action.signs_off)) return;
  std::set<std::string> seen;
  for (const MovingProblem& problem : problems_)
    if (problem.file == action.row->file->name && problem.row == action.row->row)
      seen.insert(problem.column);
  look_further(action, std::move(seen));
}

void Mover::enter(const std::vector<MovingRow>& rows) {
  learn();
  const std::vector<Action> actions = actions_of(rows);
  Progress progress = call_.progress("entering the rows");
  for (std::size_t i = 0; i < actions.size(); ++i) {
    enter(actions[i]);
    progress.at(i + 1, actions.size());
  }
}

}  // namespace trencher::commands
