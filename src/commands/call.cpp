#include "commands/call.h"

#include <fmt/format.h>

#include <CLI/CLI.hpp>
#include <algorithm>
#include <iostream>

#include "book/queries.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

struct Call::Declared {
  CLI::App app;
};

namespace {

constexpr std::size_t longest_cell = 2 * longest_text;  // bytes, of a table

// "--temp" for the sentence of an error that CLI11 found.
std::string plain(const CLI::ParseError& failure) {
  std::string text = failure.what();
  while (!text.empty() && (text.back() == '.' || text.back() == '\n')) text.pop_back();
  return text;
}

}  // namespace

Call::Call(std::string name, std::string summary, Access access, std::vector<std::string> words,
           const Surroundings& surroundings)
    : name_(std::move(name)),
      summary_(std::move(summary)),
      access_(access),
      words_(std::move(words)),
      surroundings_(surroundings),
      declared_(std::make_unique<Declared>()) {
  declared_->app.set_help_flag();
  declared_->app.allow_extras();
  usage_ = "trencher " + name_;
}

Call::~Call() = default;

void Call::run_within(book::Book& book, Json imported) {
  lent_ = &book;
  imported_ = std::move(imported);
}

std::string Call::choose(const std::string& what, const std::vector<std::string>& choices) {
  std::string chosen;
  const bool help = !words_.empty() && (words_.front() == "--help" || words_.front() == "-h");
  if (help && choices.size() == 1) {
    usage_ += " " + choices.front();
    return choices.front();  // parse() prints it
  }
  if (help) {
    surroundings_.out << fmt::format("{} {}\n\n{}.\n{}: {}. Each has its own --help.\n", usage_,
                                     what, summary_, what, join(choices, ", "));
    throw HelpAsked{};
  }
  if (!words_.empty() && !words_.front().starts_with('-')) {
    chosen = words_.front();
    words_.erase(words_.begin());
  }
  need(chosen, what, fmt::format("{}: what", name_), choices);
  check_known(chosen, name_ + ":", choices);
  usage_ += " " + chosen;
  return chosen;
}

std::string Call::choose_if(const std::vector<std::string>& choices) {
  if (words_.empty() || std::find(choices.begin(), choices.end(), words_.front()) == choices.end())
    return {};
  std::string chosen = words_.front();
  words_.erase(words_.begin());
  usage_ += " " + chosen;
  return chosen;
}

void Call::word(const std::string& name, std::string& into, const std::string& help) {
  positionals_.push_back({name, help});
  if (!first_word_) first_word_ = &into;
  usage_ += " " + name;
  declared_->app.add_option(name, into, help);
}

void Call::words(const std::string& name, std::vector<std::string>& into, const std::string& help) {
  positionals_.push_back({name + "…", help});
  usage_ += " " + name + "…";
  declared_->app.add_option(name, into, help);
}

void Call::option(const std::string& name, const std::string& value, std::string& into,
                  const std::string& help) {
  options_.push_back({name + " " + value, help});
  declared_->app.add_option(name, into, help);
}

void Call::list(const std::string& name, const std::string& value, std::vector<std::string>& into,
                const std::string& help) {
  options_.push_back({name + " " + value, help + "; may be repeated"});
  declared_->app.add_option(name, into, help)->allow_extra_args(false);
}

void Call::id_list(const std::string& name, std::vector<std::string>& into,
                   const std::string& help) {
  options_.push_back({name + " ID…", help + "; several at once, or repeated"});
  id_lists_.push_back(&into);
  declared_->app.add_option(name, into, help)->delimiter(',');
}

void Call::flag(const std::string& name, bool& into, const std::string& help) {
  options_.push_back({name, help});
  declared_->app.add_flag(name, into, help);
}

void Call::parse() {
  if (access_ == Access::write) {
    option("--at", "TIME", at_, "when it happened, as 2026-12-05 14:30 or 2h ago; now if left out");
    option("--by", "WORKER", by_, "who writes; not needed with one worker");
    option("--note", "TEXT", note_, "a remark kept with the entry; it cannot be forgotten later");
    option("--because", "TEXT", because_, "the reason for going on where a stop stands");
  }
  option("--book", "FILE", book_file_, "the book; else $TRENCHER_BOOK, else the usual place");
  flag("--json", json_, "print JSON for programs");
  flag("--help,-h", help_, "this text");
  if (std::find(words_.begin(), words_.end(), "--help") != words_.end() ||
      std::find(words_.begin(), words_.end(), "-h") != words_.end()) {
    print_help();
    throw HelpAsked{};
  }
  try {
    std::vector<std::string> reversed(words_.rbegin(), words_.rend());
    declared_->app.parse(reversed);
  } catch (const CLI::ParseError& failure) {
    throw Error::request(fmt::format("{}: {}; 'trencher {} --help' lists what it takes.", name_,
                                     plain(failure), name_));
  }
  for (std::vector<std::string>* ids : id_lists_)
    if (first_word_ && first_word_->empty() && ids->size() > 1) {
      *first_word_ = ids->back();
      ids->pop_back();
    }
  std::vector<std::string> known;
  for (const HelpLine& line : options_)
    known.push_back(line.left.substr(0, line.left.find_first_of(" ,")));
  for (const std::string& extra : declared_->app.remaining())
    throw Error::request(
        fmt::format("{}: '{}' is not understood; 'trencher {} --help' lists what it takes.{}",
                    name_, checked_text(extra, "A word"), name_,
                    extra.starts_with('-') ? suggestion(extra, known) : ""));
  if (!note_.empty()) note_ = checked_text(note_, "--note");
  if (!because_.empty()) because_ = checked_text(because_, "--because");
}

void Call::print_help() const {
  std::ostream& out = surroundings_.out;
  out << usage_ << (options_.empty() ? "" : " [options]") << "\n\n";
  for (const std::string& line : wrap(summary_ + ".", surroundings_.width)) out << line << '\n';
  const auto lines = [&](const std::vector<HelpLine>& of) {
    for (const HelpLine& item : of) {
      out << "  " << item.left << '\n';
      for (const std::string& line : wrap(item.help, surroundings_.width - 8))
        out << "        " << line << '\n';
    }
  };
  if (!positionals_.empty()) out << '\n';
  lines(positionals_);
  out << "\nOptions:\n";
  lines(options_);
}

std::optional<std::string> Call::ask(const std::string& question) {
  surroundings_.out << shown(question) << ": " << std::flush;
  if (book_) book_->let_go();  // somebody may think for as long as they like
  std::string line;
  const bool answered = static_cast<bool>(std::getline(surroundings_.in, line));
  if (book_) book_->hold();
  return answered ? std::optional(line) : std::nullopt;
}

void Call::need(std::string& into, const std::string& name, const std::string& question,
                const std::vector<std::string>& choices) {
  if (!into.empty()) return;
  const std::string shown =
      choices.empty() || choices.size() > 12 ? "" : fmt::format(" ({})", join(choices, ", "));
  if (surroundings_.terminal) {
    const auto answer = ask(question + shown);
    if (answer && !answer->empty()) {
      into = checked_text(*answer, question);
      return;
    }
  }
  throw Error::request(fmt::format("{} is missing: {}{}.", name, question, shown));
}

void Call::need(std::vector<std::string>& into, const std::string& name,
                const std::string& question, const std::vector<std::string>& choices) {
  if (!into.empty()) return;
  std::string one;
  need(one, name, question, choices);
  into = split(one, ' ');
}

void Call::check_known(const std::string& value, const std::string& what,
                       const std::vector<std::string>& known) {
  if (std::find(known.begin(), known.end(), value) != known.end()) return;
  const std::string near = suggestion(value, known);
  throw Error::request(fmt::format("{} '{}' is not known.{}", what, checked_text(value, what),
                                   !near.empty()   ? near
                                   : known.empty() ? std::string(" There is none yet.")
                                   : known.size() <= 12
                                       ? " It is one of: " + join(known, ", ") + "."
                                       : ""));
}

std::filesystem::path Call::book_path() const {
  if (!book_file_.empty()) return book_file_;
  if (surroundings_.book_variable && !surroundings_.book_variable->empty())
    return *surroundings_.book_variable;
  if (surroundings_.data_home && surroundings_.data_home->starts_with('/'))
    return std::filesystem::path(*surroundings_.data_home) / "trencher/book.db";
  if (surroundings_.home && !surroundings_.home->empty())
    return std::filesystem::path(*surroundings_.home) / ".local/share/trencher/book.db";
  throw Error::request("No book is named: give --book FILE or set TRENCHER_BOOK.");
}

book::Book& Call::book() {
  if (lent_) return *lent_;
  if (!book_) {
    book_.emplace(book::Book::open(book_path()));
    book_->hold();
  }
  return *book_;
}

const Workshop& Call::settings() {
  if (!settings_) settings_ = book::workshop(book());
  return *settings_;
}

const Zone& Call::zone() {
  if (!zone_) zone_.emplace(settings().zone);
  return *zone_;
}

std::int64_t Call::worker_of(const std::string& by) {
  const std::vector<Worker> workers = book::workers(book());
  if (by.empty()) {
    if (workers.size() == 1) return workers.front().id;
  } else {
    for (const Worker& worker : workers)
      if (std::to_string(worker.id) == by) return worker.id;
  }
  std::vector<std::string> names;
  for (const Worker& worker : workers) {
    const auto person = book().person(worker.person);
    names.push_back(person ? person->name : fmt::format("worker {}", worker.id));
  }
  std::string name = by;
  need(name, "--by", "Who writes", names);
  for (std::size_t i = 0; i < names.size(); ++i)
    if (names[i] == name) return workers[i].id;
  check_known(name, "Worker", names);
  return 0;
}

Moment Call::happened(const Zone& zone) const {
  const Moment out = at_.empty() ? zone.moment(now()) : zone.parse(at_, now(), "--at");
  if (out.at > now() + clock_slack)
    throw Error::request(
        fmt::format("--at '{}' lies ahead: {}; the book holds what has happened.", at_, show(out)));
  return out;
}

book::Stamp Call::stamp() {
  book::Stamp out{happened(zone()), now(), 0};
  out.worker = worker_of(by_);
  return out;
}

void Call::annotate(Json& body) const {
  if (!note_.empty()) body.set("note", note_);
  if (!because_.empty()) body.set("because", because_);
  if (!imported_.is_null()) body.set("imported", imported_);
}

void Call::demand_because(const std::vector<engine::Finding>& stops) {
  if (stops.empty() || !because_.empty()) return;
  std::vector<std::string> reasons;
  for (const engine::Finding& stop : stops) reasons.push_back(stop.reason);
  if (surroundings_.terminal) {
    for (const std::string& reason : reasons) say_list("stop:", reason);
    const auto answer = ask("Your reason for going on (empty: leave it)");
    if (answer && !answer->empty()) {
      because_ = checked_text(*answer, "The reason");
      return;
    }
  }
  throw Error::request(
      fmt::format("{} To go on all the same, say why with --because TEXT.", join(reasons, " ")));
}

void Call::say(std::string_view text) {
  for (const std::string& line : wrap(shown(text), surroundings_.width))
    surroundings_.out << line << '\n';
}

void Call::say_list(std::string_view plain_mark, std::string_view text) {
  const std::string mark = shown(plain_mark);
  const std::size_t indent = display_width(mark) + 1;
  bool first = true;
  for (const std::string& line :
       wrap(shown(text), std::max<std::size_t>(20, surroundings_.width - indent))) {
    surroundings_.out << (first ? mark + " " : std::string(indent, ' ')) << line << '\n';
    first = false;
  }
}

void Call::table(const std::vector<std::string>& plain_head,
                 std::vector<std::vector<std::string>> rows) {
  const auto tame = [](std::vector<std::string>& cells) {
    for (std::string& cell : cells) cell = shown(cell, longest_cell);
  };
  std::vector<std::string> head = plain_head;
  tame(head);
  for (auto& row : rows) tame(row);
  const std::size_t columns = head.size();
  std::vector<std::size_t> widths(columns, 0);
  const auto measure = [&](const std::vector<std::string>& cells) {
    for (std::size_t i = 0; i < columns; ++i)
      widths[i] = std::max(widths[i], display_width(cells[i]));
  };
  measure(head);
  for (const auto& row : rows) measure(row);
  std::size_t used = 0;
  for (std::size_t i = 0; i + 1 < columns; ++i) used += widths[i] + 2;
  const std::size_t last = used + 20 < surroundings_.width ? surroundings_.width - used : 20;
  const auto print = [&](const std::vector<std::string>& cells) {
    const std::vector<std::string> lines = wrap(cells.back(), last);
    for (std::size_t n = 0; n < lines.size(); ++n) {
      std::string line;
      for (std::size_t i = 0; i + 1 < columns; ++i) {
        const std::string cell = n == 0 ? cells[i] : "";
        line += cell + std::string(widths[i] + 2 - display_width(cell), ' ');
      }
      line += lines[n];
      line.erase(line.find_last_not_of(' ') + 1);
      surroundings_.out << line << '\n';
    }
  };
  print(head);
  for (const auto& row : rows) print(row);
}

void Call::findings(const std::vector<engine::Finding>& found) {
  for (const engine::Finding& finding : found) {
    if (finding.result == engine::Result::fine || finding.result == engine::Result::held) continue;
    say_list(fmt::format("  {}:", to_string(finding.result)), finding.reason);
  }
}

int Call::done(const Json& result) {
  if (json_) surroundings_.out << result.pretty() << '\n';
  return 0;
}

int Call::wrote(std::int64_t entry, const std::string& id,
                const std::vector<engine::Finding>& found, const std::string& said, Json more) {
  if (json_) {
    Json out = Json::object();
    out.set("entry", entry).set("id", id).set("findings", to_json(found));
    for (const auto& [name, value] : more.members()) out.set(name, value);
    surroundings_.out << out.pretty() << '\n';
  } else {
    say(said);
    findings(found);
  }
  return engine::has_stop(found) ? 1 : 0;
}

Json to_json(const std::vector<engine::Finding>& findings) {
  Json out = Json::array();
  for (const engine::Finding& finding : findings) {
    Json row = Json::object();
    row.set("check", finding.check)
        .set("kind", finding.kind)
        .set("result", to_string(finding.result));
    row.set("about", finding.about).set("reason", finding.reason).set("source", finding.source);
    if (!finding.rule.empty()) {
      Json entries = Json::array();
      for (const std::int64_t entry : finding.entries) entries.push(entry);
      row.set("rule", finding.rule).set("entries", std::move(entries));
    }
    out.push(std::move(row));
  }
  return out;
}

}  // namespace trencher::commands
