// A question to somebody at the terminal.
#pragma once

#include <concepts>
#include <functional>
#include <string>
#include <vector>

namespace trencher::commands {

struct Choice {
  std::string id;
  std::string words;  // what it is, as "Board Oil No. 1, lot M22"; may be empty
};

struct Question {
  Question(std::string asked) : text(std::move(asked)) {}
  Question(const char* asked) : text(asked) {}
  Question(std::string asked, const std::vector<std::string>& ids);
  // The choices are made only where the question is asked.
  template <std::invocable F>
  Question(std::string asked, F choose) : text(std::move(asked)), choices(std::move(choose)) {}

  Question& others();                 // besides the choices anything may be answered
  Question& usually(std::string id);  // what an empty line stands for
  // Error::request where an answer will not do; it is then asked for again.
  Question& checked(std::function<void(const std::string&)> by);

  std::string text;
  std::function<std::vector<Choice>()> choices;
  std::function<void(const std::string&)> check;
  std::string usual;
  bool open = false;
};

// Ids that are numbers themselves are chosen by them, so that a 3 means one thing only.
bool numbered(const std::vector<Choice>& choices);
// Lines of at most `width` columns that show the choices, by number where numbered().
std::vector<std::string> choice_lines(const std::vector<Choice>& choices, std::size_t width);
// The id that is meant by a number, an id, or the words of a choice; empty: by none.
std::string chosen(const std::string& answer, const std::vector<Choice>& choices);

}  // namespace trencher::commands
