// Enters the rows of a maker's old sheets into a book that is being written.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <string>
#include <vector>

#include "commands/call.h"
#include "commands/command.h"
#include "commands/import_csv.h"
#include "commands/moving_read.h"

namespace trencher::commands {

// What a row came to.
struct Moved {
  const MovingRow* row = nullptr;
  std::int64_t entry = 0;
  std::string id;
  Json findings;  // as the command tells them
  std::string because;
};

class Mover {
 public:
  Mover(Call& call, const MovingIn& from, std::vector<MovingProblem>& problems)
      : call_(call), from_(from), problems_(problems) {}

  // To be called within a Writing.
  void enter(const std::vector<MovingRow>& rows);
  const std::vector<Moved>& moved() const { return moved_; }

 private:
  // A row, or the sign-off that it tells of.
  struct Action {
    const MovingRow* row = nullptr;
    Moment at;
    std::size_t order = 0;  // of files, and of what one row does
    bool signs_off = false;
  };
  // A label, and the id that it has in the book by now.
  struct Labelled {
    const MovingRow* row = nullptr;  // none: of an earlier import
    std::string id;
    bool failed = false;
  };

  void learn();
  void take_label(const MovingRow& row);
  std::optional<Moment> moment_of(const MovingRow& row, std::string_view column);
  std::vector<Action> actions_of(const std::vector<MovingRow>& rows);
  void enter(const Action& action);
  // Enters it, or tells what is wrong. `trial`: undone in either case.
  void attempt(const Action& action, bool trial);
  // Tells what else is wrong with a row of which the cells of `seen` are.
  void look_further(const Action& action, std::set<std::string> seen);
  std::optional<std::vector<std::string>> words_of(const Action& action);
  bool add_words(const MovingRow& row, const MovingColumn& column, std::vector<std::string>& words);
  std::optional<std::string> resolve(const MovingRow& row, std::string_view column,
                                     const std::string& label);
  // By column, the ids of things that are fine to refer to, made an hour before; the caller undoes
  // it.
  std::map<std::string, std::string> stand_ins(const Action& action);
  Json run(const Command& command, std::vector<std::string> words, Json imported);
  Json run(const Action& action, const std::vector<std::string>& words, const std::string& because);
  void complain(const MovingRow& row, std::string_view column, const std::string& what);
  MovingProblem problem_of(const Action& action, std::string said) const;

  Call& call_;
  const MovingIn& from_;
  std::vector<MovingProblem>& problems_;
  std::vector<Moved> moved_;
  std::map<std::string, Labelled> labels_;
  std::map<std::string, std::int64_t> known_rows_;  // digests of earlier imports, and their entries
  std::set<const MovingRow*> failed_;
};

}  // namespace trencher::commands
