#include <fmt/format.h>

#include <algorithm>
#include <istream>
#include <ostream>
#include <utility>

#include "commands/because.h"
#include "commands/call.h"
#include "commands/choices.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

std::vector<std::string> words_and_commas(std::string text) {
  std::replace(text.begin(), text.end(), ',', ' ');
  std::vector<std::string> out = split(text, ' ');
  std::erase(out, "");
  return out;
}

}  // namespace

std::optional<std::string> Call::ask(const std::string& question) {
  surroundings_.out << shown(question) << ": " << std::flush;
  if (book_) book_->let_go();  // somebody may think for as long as they like
  std::string line;
  const bool answered = static_cast<bool>(std::getline(surroundings_.in, line));
  if (book_) book_->hold();
  if (!answered) surroundings_.out << '\n';
  return answered ? std::optional(line) : std::nullopt;
}

void Call::explain(const std::string& name, const Question& question,
                   const std::vector<Choice>& choices) {
  for (const auto* lines : {&declaration_.positionals, &declaration_.options})
    for (const Declaration::Line& line : *lines)
      if (line.name == name) say(line.help + ".");
  for (const std::string& line : choice_lines(choices, surroundings_.width))
    surroundings_.out << line << '\n';
  if (!choices.empty())
    say(numbered(choices) ? "Answer with the number or the name." : "Answer with the number.");
  if (!question.usual.empty()) say(fmt::format("An empty line stands for {}.", question.usual));
  say("Ctrl-C leaves off; the book stays as it is.");
}

// What one line of answer means; nothing where it is to be asked again, which was said.
std::vector<std::string> Call::understood(const std::string& line, const std::string& name,
                                          const Question& question,
                                          const std::vector<Choice>& choices, bool several) {
  const std::string answer = line.find_first_not_of(" \t") == std::string::npos
                                 ? question.usual
                                 : checked_text(line, question.text);
  if (answer.empty() || answer == "?") {
    explain(name, question, choices);
    return {};
  }
  std::vector<std::string> out;
  for (const std::string& typed :
       several ? words_and_commas(answer) : std::vector<std::string>{answer}) {
    std::string meant = chosen(typed, choices);
    if (meant.empty()) {
      if (!choices.empty() && !question.open) check_known(typed, question.text, ids_of(choices));
      meant = typed;
    }
    if (question.check) question.check(meant);
    out.push_back(std::move(meant));
  }
  return out;
}

std::vector<std::string> Call::answers(const std::string& name, const Question& question,
                                       bool several) {
  const std::vector<Choice> choices = question.choices ? question.choices() : std::vector<Choice>{};
  if (surroundings_.terminal) {
    if (!std::exchange(asked_, true)) say("? explains a question, Ctrl-C leaves off.");
    std::string prompt = question.text;
    if (!choices.empty()) {
      say(question.text + ":");
      for (const std::string& line : choice_lines(choices, surroundings_.width))
        surroundings_.out << line << '\n';
      prompt = numbered(choices) ? "Number or name" : "Number";
    }
    if (several) prompt += ", or several with blanks between";
    if (!question.usual.empty()) prompt += fmt::format(" [{}]", question.usual);
    while (const auto line = ask(prompt)) {
      try {
        std::vector<std::string> out = understood(*line, name, question, choices, several);
        if (!out.empty()) return out;
      } catch (const Error& failure) {
        if (failure.kind() != Error::Kind::request) throw;
        say(shown_sentence(failure.what()));
      }
    }
  }
  const std::string shown = choices.empty() || choices.size() > 12
                                ? ""
                                : fmt::format(" ({})", join(ids_of(choices), ", "));
  throw Error::request(fmt::format("{} is missing: {}{}.", name, question.text, shown));
}

void Call::need(std::string& into, const std::string& name, const Question& question) {
  if (into.empty()) into = answers(name, question, false).front();
}

void Call::need(std::vector<std::string>& into, const std::string& name, const Question& question) {
  if (into.empty()) into = answers(name, question, true);
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
  throw Error::request(fmt::format("{} {}", join(reasons, " "), asks_because));
}

}  // namespace trencher::commands
