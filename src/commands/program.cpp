#include "commands/program.h"

#include <fmt/format.h>
#include <sys/ioctl.h>
#include <sys/stat.h>
#include <unistd.h>

#include <algorithm>
#include <array>
#include <chrono>
#include <cstdlib>
#include <iostream>
#include <sstream>

#include "commands/command.h"
#include "commands/complete.h"
#include "domain/error.h"
#include "domain/text.h"
#include "paper/characters.h"
#include "paper/visual.h"

namespace trencher::commands {
namespace {

constexpr std::array table{
    Command{"start", "begin a new book for a workshop", Access::write, start},
    Command{"tour", "play an invented workshop in a book of its own", Access::none, tour},
    Command{"workshop", "show or change what the book knows of the workshop", Access::write,
            workshop},
    Command{"worker", "add somebody who writes in the book, or list them", Access::write, worker},
    Command{"place", "add a place with its conditions, or list them", Access::write, place},
    Command{"product", "add or change a product with its label values, or list them", Access::write,
            product},
    Command{"receive", "enter wood, glue, finish or another thing that has come in", Access::write,
            receive},
    Command{"mix", "make a tin out of tins, as board butter", Access::write, mix},
    Command{"open", "enter that a tin was opened", Access::write, open_tin},
    Command{"statement", "enter what a supplier's paper says", Access::write, statement},
    Command{"batch", "make a batch of boards, or list them", Access::write, batch},
    Command{"log", "enter a step, a reading, rags dealt with, a note", Access::write, log},
    Command{"readings", "import a logger's file of temperature and humidity", Access::write,
            readings},
    Command{"due", "what is due now and next, over all batches", Access::read, due},
    Command{"when", "the dates of a batch and why", Access::read, when},
    Command{"findings", "what speaks for and against a batch, with sources", Access::read,
            findings},
    Command{"sign-off", "decide that pieces may leave", Access::write, sign_off},
    Command{"give", "enter that pieces leave, to whom and how", Access::write, give},
    Command{"photograph", "keep a picture of a batch's boards", Access::write, photograph},
    Command{"stall-sheet", "a sheet to tick what a stall sells, and its entry afterwards",
            Access::write, stall_sheet},
    Command{"offer", "the text that an offer from a distance must carry", Access::read, offer},
    Command{"scrap", "enter that a piece came to nothing", Access::write, scrap},
    Command{"split", "let pieces leave their batch for another finish", Access::write, split_off},
    Command{"take-back", "enter that a piece came back", Access::write, take_back},
    Command{"card", "print care cards", Access::write, card},
    Command{"record", "print the batch record", Access::read, record},
    Command{"answer", "what is on a piece, and what the record rests on", Access::write, answer},
    Command{"answers", "the answers that were kept, and which no longer hold", Access::read,
            answers},
    Command{"trace", "everything before and after a piece, batch, tin or lot", Access::read, trace},
    Command{"plan", "what to do when, so that boards are ready by their days", Access::read, plan},
    Command{"calendar", "the coming dates as a calendar file for a phone", Access::read, calendar},
    Command{"chart", "the coming weeks on one sheet for the shop wall", Access::read, chart},
    Command{"withdraw", "enter that a tin or wood lot is to be used no more", Access::write,
            withdraw},
    Command{"recall", "whom to tell of what is withdrawn, and how far that has come", Access::write,
            recall},
    Command{"complaint", "enter what is wrong with a board, or list what was", Access::write,
            complaint},
    Command{"people", "who is in the book, and all that it holds about one", Access::read, people},
    Command{"forget", "take a person's name and contact out of the book", Access::write, forget},
    Command{"correct", "mend an entry; the old one stays legible", Access::write, correct},
    Command{"strike", "take an entry out; it stays legible", Access::write, strike},
    Command{"dealt", "what an entry made wrong has been dealt with", Access::write, dealt},
    Command{"climate", "dew point, lowest surface temperature, moisture of wood", Access::none,
            climate},
    Command{"species", "look up woods, or add one of your own", Access::write, species},
    Command{"finishes", "look up kinds of finish", Access::none, finishes},
    Command{"glues", "look up kinds of glue", Access::none, glues},
    Command{"others", "look up kinds of filler, feet, inlay, wipe", Access::none, others},
    Command{"allergens", "look up allergens and other substances", Access::none, allergens},
    Command{"schedules", "look up ways of finishing", Access::none, schedules},
    Command{"rules", "look up what markets ask, and where to ask", Access::none, rules},
    Command{"rule", "add rules of your own from a file", Access::write, rule},
    Command{"verify", "check that the book is unaltered", Access::read, verify},
    Command{"backup", "copy the book to another file", Access::read, backup},
    Command{"rescue", "make a new book of what can still be read of a damaged one", Access::none,
            rescue},
    Command{"export", "write the whole book as text or tables", Access::read, export_book},
    Command{"import", "make a book out of an export, or take in old sheets", Access::read,
            import_book},
};

std::optional<std::string> variable(const char* name) {
  const char* value = std::getenv(name);
  return value ? std::optional<std::string>(value) : std::nullopt;
}

// Of a terminal; 0 where it does not say, nothing where it is none.
std::optional<std::size_t> columns_of(int handle) {
  if (!::isatty(handle)) return {};
  winsize size{};
  return ::ioctl(handle, TIOCGWINSZ, &size) == 0 ? size.ws_col : 0;
}

std::size_t terminal_width() {
  const std::size_t columns = columns_of(STDOUT_FILENO).value_or(0);
  return columns >= 40 ? columns : 80;
}

std::size_t progress_width() {
  const auto columns = columns_of(STDERR_FILENO);
  return columns == 0 ? 80 : std::min<std::size_t>(columns.value_or(0), 80);
}

// By the custom of the variable NO_COLOR: set, to whatever but nothing, it forbids.
bool colours() {
  return ::isatty(STDOUT_FILENO) && variable("NO_COLOR").value_or("").empty() &&
         variable("TERM").value_or("dumb") != "dumb";
}

void print_commands(std::ostream& out) {
  out << "trencher COMMAND [options]\n\nThe finishing and food-contact logbook of a workshop that "
         "makes boards.\n\n";
  for (const Command& command : table)
    out << fmt::format("  {:<11} {}\n", command.name, command.summary);
  out << "\n'trencher COMMAND --help' says more. The program keeps a record; local rules, a doctor "
         "and\n"
         "the product's own label come first.\n";
}

void tell_lacking(std::ostream& err) {
  std::vector<std::string> names;
  for (const char32_t c : paper::lacking()) names.push_back(paper::code_point_name(c));
  if (names.empty()) return;
  constexpr std::size_t most = 10;
  const bool more = names.size() > most;
  names.resize(std::min(names.size(), most));
  err << fmt::format("trencher: the fonts lack {}{}: the paper shows \uFFFD in its place.\n",
                     join(names, ", "), more ? " and others" : "");
}

int run(std::vector<std::string> words, const Surroundings& surroundings) {
  // --book and --json may stand before the command, too.
  std::vector<std::string> moved;
  while (!words.empty() && (words.front() == "--json" || words.front() == "--book" ||
                            words.front().starts_with("--book="))) {
    const std::size_t count = words.front() == "--book" && words.size() > 1 ? 2 : 1;
    moved.insert(moved.end(), words.begin(), words.begin() + static_cast<std::ptrdiff_t>(count));
    words.erase(words.begin(), words.begin() + static_cast<std::ptrdiff_t>(count));
  }
  if (words.empty()) {
    Call call("", "what the book holds, and what comes next", Access::read, moved, surroundings);
    return overview(call);
  }
  if (words.front() == "--help" || words.front() == "-h" || words.front() == "help") {
    print_commands(surroundings.out);
    return 0;
  }
  if (words.front() == "complete") {
    words.erase(words.begin(), words.begin() + (words.size() > 1 && words[1] == "--" ? 2 : 1));
    complete(words, surroundings);
    return 0;
  }
  if (words.front() == "--version") {
    words.insert(words.end(), moved.begin(), moved.end());
    const bool json = std::find(words.begin(), words.end(), "--json") != words.end();
    surroundings.out << (json ? Json::object().set("version", TRENCHER_VERSION).pretty()
                              : "trencher " TRENCHER_VERSION)
                     << '\n';
    return 0;
  }
  const auto found = std::find_if(table.begin(), table.end(),
                                  [&](const Command& c) { return c.name == words.front(); });
  if (found == table.end()) {
    std::vector<std::string> names;
    for (const Command& command : table) names.emplace_back(command.name);
    throw Error::request(fmt::format("'{}' is no command; 'trencher --help' lists them.{}",
                                     checked_text(words.front(), "The command"),
                                     suggestion(words.front(), names)));
  }
  words.erase(words.begin());
  words.insert(words.end(), moved.begin(), moved.end());
  Call call(std::string(found->name), std::string(found->summary), found->access, std::move(words),
            surroundings);
  const int status = found->run(call);
  tell_lacking(surroundings.err);
  return status;
}

}  // namespace

std::span<const Command> commands() { return table; }

Declaration declared(std::string_view command, std::vector<std::string> words) {
  const auto found =
      std::find_if(table.begin(), table.end(), [&](const Command& c) { return c.name == command; });
  Declaration out;
  std::istringstream nothing;
  std::ostringstream ignored;
  const Surroundings surroundings{
      .now = {}, .in = nothing, .out = ignored, .err = ignored, .declared = &out};
  Call call(std::string(found->name), std::string(found->summary), found->access, std::move(words),
            surroundings);
  try {
    found->run(call);
  } catch (const HelpAsked&) {
  }
  return out;
}

int run_program(int argc, char** argv) {
  std::ios::sync_with_stdio(false);
  ::umask(0077);  // whatever is made is the owner's alone: book, its journal, papers, folders
  const Surroundings surroundings{
      .now = std::chrono::floor<std::chrono::seconds>(std::chrono::system_clock::now()),
      .in = std::cin,
      .out = std::cout,
      .err = std::cerr,
      .terminal = ::isatty(STDIN_FILENO) && ::isatty(STDOUT_FILENO),
      .width = std::min(terminal_width(), widest_text),
      .table_width = terminal_width(),
      .colour = colours(),
      .progress_width = progress_width(),
      .book_variable = variable("TRENCHER_BOOK"),
      .data_home = variable("XDG_DATA_HOME"),
      .home = variable("HOME")};
  return run_words({argv + (argc > 0 ? 1 : 0), argv + argc}, surroundings);
}

int run_words(std::vector<std::string> words, const Surroundings& surroundings) {
  int status = 0;
  try {
    for (std::size_t i = 0; i < words.size(); ++i)
      if (!is_utf8(words[i]))
        throw Error::request(fmt::format("Word {} of the command, '{}', is not valid UTF-8 text.",
                                         i + 1, brief(words[i])));
    status = run(std::move(words), surroundings);
  } catch (const HelpAsked&) {
    status = 0;
  } catch (const Error& failure) {
    for (const std::string& line :
         wrap("trencher: " + shown_sentence(failure.what()), surroundings.width))
      surroundings.err << line << '\n';
    return failure.kind() == Error::Kind::request ? 2 : 3;
  }
  surroundings.out.flush();
  if (!surroundings.out) {
    surroundings.err << "trencher: what was printed could not be written to the output.\n";
    return 3;
  }
  return status;
}

}  // namespace trencher::commands
