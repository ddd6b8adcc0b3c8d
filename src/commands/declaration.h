// What a command takes, as it declares it: the one source of its help, its manual page and the
// completions.
#pragma once

#include <string>
#include <vector>

namespace trencher::commands {

struct Declaration {
  struct Line {
    std::string name;   // "--temp", "BATCH"
    std::string value;  // what an option takes, "TEMPERATURE"; empty for a flag and for a word
    std::string help;
    bool several = false;
    bool common = false;  // of every command that reads or writes the book
  };
  std::string command;  // "log coat"
  std::vector<Line> positionals, options;
  // Words that may come first and lead to another declaration, and whether one of them must.
  std::vector<std::string> parts;
  std::string part_name;  // how such a word is called where one is needed: "WHAT"
};

std::string shown_name(const Declaration::Line& line);  // "--temp TEMPERATURE", "ID…"
std::string usage(const Declaration& declaration);      // "trencher log coat BATCH [options]"

// Takes the words of a command, not its own name: "coat" of "log". It runs nothing and needs no
// book. REQUIRES: a name of commands().
Declaration declared(std::string_view command, std::vector<std::string> words);

}  // namespace trencher::commands
