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

// "--temp" for the sentence of an error that CLI11 found.
std::string plain(const CLI::ParseError& failure) {
  std::string text = failure.what();
  while (!text.empty() && (text.back() == '.' || text.back() == '\n')) text.pop_back();
  return text;
}

constexpr std::size_t most_named = 12, last_named = 3;

// What is said of those known where none of them is near.
std::string known_ones(const std::vector<std::string>& known, const Whence& whence) {
  if (known.empty())
    return whence.fills.empty() ? " There is none yet."
                                : fmt::format(" There is none yet; {}.", whence.fills);
  if (known.size() <= most_named) return " It is one of: " + join(known, ", ") + ".";
  if (!whence.lists.empty()) return fmt::format(" {}.", whence.lists);
  return fmt::format(" The last are: {}.", join({known.end() - last_named, known.end()}, ", "));
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
  declaration_.command = name_;
}

Call::~Call() = default;

void Call::run_within(book::Book& book, Json imported) {
  lent_ = &book;
  imported_ = std::move(imported);
}

std::string Call::choose(const std::string& what, const std::vector<std::string>& choices) {
  std::string chosen;
  declaration_.parts = choices;
  const bool asked = !words_.empty() && (words_.front() == "--help" || words_.front() == "-h");
  if (asked && choices.size() == 1) {
    declaration_.command += " " + choices.front();
    declaration_.parts.clear();
    return choices.front();  // parse() prints the help
  }
  if (asked || (surroundings_.declared && words_.empty())) {
    declaration_.part_name = what;
    help();
  }
  if (!words_.empty() && !words_.front().starts_with('-')) {
    chosen = words_.front();
    words_.erase(words_.begin());
  }
  need(chosen, what, {fmt::format("{}: what", name_), choices});
  check_known(chosen, name_ + ":", choices);
  declaration_.command += " " + chosen;
  declaration_.parts.clear();
  return chosen;
}

std::string Call::choose_if(const std::vector<std::string>& choices) {
  declaration_.parts = choices;
  if (words_.empty() || std::find(choices.begin(), choices.end(), words_.front()) == choices.end())
    return {};
  std::string chosen = words_.front();
  words_.erase(words_.begin());
  declaration_.command += " " + chosen;
  declaration_.parts.clear();
  return chosen;
}

void Call::word(const std::string& name, std::string& into, const std::string& help) {
  declaration_.positionals.push_back({name, "", help});
  if (!first_word_) first_word_ = &into;
  declared_->app.add_option(name, into, help);
}

void Call::words(const std::string& name, std::vector<std::string>& into, const std::string& help) {
  declaration_.positionals.push_back({name, "", help, true});
  declared_->app.add_option(name, into, help);
}

void Call::option(const std::string& name, const std::string& value, std::string& into,
                  const std::string& help) {
  declaration_.options.push_back({name, value, help});
  declared_->app.add_option(name, into, help);
}

void Call::list(const std::string& name, const std::string& value, std::vector<std::string>& into,
                const std::string& help) {
  declaration_.options.push_back({name, value, help + "; may be repeated", true});
  declared_->app.add_option(name, into, help)->allow_extra_args(false);
}

void Call::id_list(const std::string& name, std::vector<std::string>& into,
                   const std::string& help) {
  declaration_.options.push_back({name, "ID…", help + "; several at once, or repeated", true});
  id_lists_.push_back(&into);
  declared_->app.add_option(name, into, help)->delimiter(',');
}

void Call::flag(const std::string& name, bool& into, const std::string& help) {
  declaration_.options.push_back({name, "", help});
  declared_->app.add_flag(name, into, help);
}

void Call::parse() {
  const std::size_t own = declaration_.options.size();
  if (access_ == Access::write) {
    option("--at", "TIME", at_, "when it happened, as 2026-12-05 14:30 or 2h ago; now if left out");
    option("--by", "WORKER", by_, "who writes; not needed with one worker");
    option("--note", "TEXT", note_, "a remark kept with the entry; it cannot be forgotten later");
    option("--because", "TEXT", because_, "the reason for going on where a stop stands");
  }
  option("--book", "FILE", book_file_, "the book; else $TRENCHER_BOOK, else the usual place");
  flag("--json", json_, "print JSON for programs");
  flag("--help,-h", help_, "this text");
  for (std::size_t i = own; i < declaration_.options.size(); ++i)
    declaration_.options[i].common = true;
  if (surroundings_.declared || std::find(words_.begin(), words_.end(), "--help") != words_.end() ||
      std::find(words_.begin(), words_.end(), "-h") != words_.end())
    help();
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
  for (const Declaration::Line& line : declaration_.options)
    known.push_back(line.name.substr(0, line.name.find(',')));
  for (const std::string& extra : declared_->app.remaining())
    throw Error::request(
        fmt::format("{}: '{}' is not understood; 'trencher {} --help' lists what it takes.{}",
                    name_, checked_text(extra, "A word"), name_,
                    suggestion(extra, extra.starts_with('-') ? known : declaration_.parts)));
  if (!note_.empty()) note_ = checked_text(note_, "--note");
  if (!because_.empty()) because_ = checked_text(because_, "--because");
}

void Call::check_known(const std::string& value, const std::string& what,
                       const std::vector<std::string>& known, const Whence& whence) {
  if (std::find(known.begin(), known.end(), value) != known.end()) return;
  const std::string near = suggestion(value, known);
  throw Error::request(fmt::format("{} '{}' is not known.{}", what, checked_text(value, what),
                                   near.empty() ? known_ones(known, whence) : near));
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
  if (!book_) book_.emplace(book::Book::open_held(book_path()));
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
  need(name, "--by", {"Who writes", names});
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

int Call::done(const Json& result) {
  if (json_) surroundings_.out << result.pretty() << '\n';
  return 0;
}

int Call::wrote(std::int64_t entry, const std::string& id,
                const std::vector<engine::Finding>& found, const std::string& said,
                const Json& more) {
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
