// One call of a command: its words, its options, and the ways to ask, refuse and report.
//
//   int climate(Call& call) {
//     std::string temp, rh;
//     call.option("--temp", "TEMPERATURE", temp, "of the air, as 20C or 68F");
//     call.option("--rh", "PERCENT", rh, "relative humidity of the air");
//     call.parse();
//     call.need(temp, "--temp", "Temperature of the air");
//     ...
//     return call.done();
//   }
#pragma once

#include <functional>
#include <iosfwd>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "book/book.h"
#include "commands/declaration.h"
#include "commands/progress.h"
#include "commands/question.h"
#include "domain/json.h"
#include "domain/records.h"
#include "domain/zone.h"
#include "engine/finding.h"

namespace trencher::commands {

inline constexpr std::size_t widest_text = 100;  // of a paragraph: longer lines read badly

// What a command is given from outside: passed in, so that tests can set it.
struct Surroundings {
  Instant now;
  std::istream& in;
  std::ostream& out;
  std::ostream& err;
  bool terminal = false;                       // missing values may be asked for
  std::size_t width = 80;                      // columns of a paragraph: widest_text at most
  std::size_t table_width = 80;                // columns of the terminal
  bool colour = false;                         // marks may be coloured: a terminal, no NO_COLOR
  std::size_t progress_width = 0;              // columns of standard error; 0: no terminal
  std::optional<std::string> book_variable;    // TRENCHER_BOOK
  std::optional<std::string> data_home, home;  // XDG_DATA_HOME, HOME
  Declaration* declared = nullptr;  // filled in place of a command's run, which HelpAsked ends
};

enum class Access { none, read, write };

inline constexpr Seconds clock_slack{60};  // how far ahead of our clock a given time may be

struct HelpAsked {};  // thrown by parse() after help was printed

// What to type where a thing is not among those known: where none is there yet, and where they are
// too many to name.
struct Whence {
  std::string_view fills, lists;  // "'trencher batch' makes one"
};
inline constexpr Whence from_batch{"'trencher batch' makes one", "'trencher batch' lists them"};
inline constexpr Whence from_receive{"'trencher receive' enters what has come in", {}};
inline constexpr Whence from_product{"'trencher product add' enters one", {}};
inline constexpr Whence from_species{{}, "'trencher species' lists them"};
inline constexpr Whence from_schedules{{}, "'trencher schedules' lists them"};

class Call {
 public:
  Call(std::string name, std::string summary, Access access, std::vector<std::string> words,
       const Surroundings& surroundings);
  ~Call();
  // A call within another that is writing: of the same book, each entry with `imported`.
  void run_within(book::Book& book, Json imported);

  // The next word, which says what of several the command shall do ("wood" in `receive wood`).
  // Asked for on a terminal; Error::request with near matches where it is none of `choices`.
  std::string choose(const std::string& what, const std::vector<std::string>& choices);
  // The next word if it is one of `choices`, which is then taken; else nothing.
  std::string choose_if(const std::vector<std::string>& choices);

  // Declares; the values are filled by parse() and must outlive it. Options may not be repeated,
  // but those declared by list() may.
  void word(const std::string& name, std::string& into, const std::string& help);
  void words(const std::string& name, std::vector<std::string>& into, const std::string& help);
  void option(const std::string& name, const std::string& value, std::string& into,
              const std::string& help);
  void list(const std::string& name, const std::string& value, std::vector<std::string>& into,
            const std::string& help);
  // Ids, as `--about milk egg`, `--about milk,egg` or repeated. It takes every word up to the next
  // option; the command's own first word may still stand last.
  void id_list(const std::string& name, std::vector<std::string>& into, const std::string& help);
  void flag(const std::string& name, bool& into, const std::string& help);
  // Reads the words. Throws Error::request for what was not declared, HelpAsked after --help.
  void parse();

  // `into` must say something: asked for on a terminal, until an answer will do; else
  // Error::request, which names the choices.
  void need(std::string& into, const std::string& name, const Question& question);
  void need(std::vector<std::string>& into, const std::string& name, const Question& question);
  // Error::request with near matches where `value` is none of `known`; `what` begins the sentence:
  // "Species". Where none is near, a long list is not given but where it is.
  static void check_known(const std::string& value, const std::string& what,
                          const std::vector<std::string>& known, const Whence& whence = {});

  const std::string& name() const { return name_; }  // "stall-sheet"
  bool json() const { return json_; }
  bool asks() const { return surroundings_.terminal; }  // somebody can answer
  Instant now() const { return surroundings_.now; }
  std::filesystem::path book_path() const;
  book::Book& book();          // opened on first use
  const Workshop& settings();  // read on first use, afresh in each transaction
  const Zone& zone();          // looked up on first use
  Units units() { return settings().units; }
  std::string show_time(Instant at) { return show(zone().moment(at)); }

  // For commands that write: when it happened (--at, else now), who writes (--by, else the only
  // worker), as the stamp of the entry. Error::request for a time over a minute ahead, an unknown
  // worker, or several workers and no --by. Call before the transaction begins.
  book::Stamp stamp();
  // The first part of it, where there is no book yet.
  Moment happened(const Zone& zone) const;
  const std::string& note() const { return note_; }        // --note, checked
  const std::string& because() const { return because_; }  // --because, checked
  // Adds --note and --because to the body where given, and where a row was moved in from.
  void annotate(Json& body) const;
  // What must not be accepted silently: without --because (asked for on a terminal before any lock)
  // Error::request with the stops' reasons.
  void demand_because(const std::vector<engine::Finding>& stops);

  // What is printed for people goes through these, which make it harmless by shown().
  void say(std::string_view text);  // a paragraph, wrapped to the width
  void say_list(std::string_view plain_mark, std::string_view text);  // wrapped behind its mark
  // A table with a head; the last column takes what is left of the width and wraps.
  void table(const std::vector<std::string>& head, std::vector<std::vector<std::string>> rows);
  void findings(const std::vector<engine::Finding>& found);  // those that are not fine

  // Prints `result` where --json was asked. Returns status 0.
  int done(const Json& result);
  // Prints what a writing command did: {"entry","id","findings"} or `said` and the findings. Status
  // 1 where a finding is stop.
  int wrote(std::int64_t entry, const std::string& id, const std::vector<engine::Finding>& found,
            const std::string& said, const Json& more = Json::object());

  std::ostream& out() const { return surroundings_.out; }
  std::istream& in() const { return surroundings_.in; }
  // Shown where standard error is a terminal; to be wiped before anything else is printed.
  Progress progress(std::string what) const {
    return {surroundings_.err, surroundings_.progress_width, std::move(what)};
  }
  // Reads one line of answer from the terminal; nothing at its end.
  std::optional<std::string> ask(const std::string& question);

 private:
  struct Declared;  // CLI11's part
  void print_help() const;
  [[noreturn]] void help();
  void explain(const std::string& name, const Question& question,
               const std::vector<Choice>& choices);
  std::vector<std::string> understood(const std::string& line, const std::string& name,
                                      const Question& question, const std::vector<Choice>& choices,
                                      bool several);
  std::vector<std::string> answers(const std::string& name, const Question& question, bool several);
  std::int64_t worker_of(const std::string& by);

  std::string name_, summary_;
  Access access_;
  std::vector<std::string> words_;
  Surroundings surroundings_;
  std::unique_ptr<Declared> declared_;
  Declaration declaration_;
  std::string* first_word_ = nullptr;
  std::vector<std::vector<std::string>*> id_lists_;
  std::string book_file_, at_, by_, note_, because_;
  bool json_ = false, help_ = false, asked_ = false;
  std::optional<book::Book> book_;
  book::Book* lent_ = nullptr;  // in its place
  Json imported_;
  std::optional<Workshop> settings_;
  std::optional<Zone> zone_;
};

Json to_json(const std::vector<engine::Finding>& findings);

}  // namespace trencher::commands
