#include "commands/question.h"

#include <fmt/format.h>

#include <algorithm>
#include <charconv>

#include "domain/hidden.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::size_t most_lines = 15;  // longer lists stand in columns, without words

bool is_number(const std::string& text) {
  return !text.empty() && text.find_first_not_of("0123456789") == std::string::npos;
}

std::string padded(const std::string& text, std::size_t width) {
  const std::size_t has = display_width(text);
  return text + std::string(has < width ? width - has : 0, ' ');
}

}  // namespace

Question::Question(std::string asked, const std::vector<std::string>& ids)
    : text(std::move(asked)), choices([ids] {
        std::vector<Choice> out;
        for (const std::string& id : ids) out.push_back({id, ""});
        return out;
      }) {}

Question& Question::others() {
  open = true;
  return *this;
}

Question& Question::usually(std::string id) {
  usual = std::move(id);
  return *this;
}

Question& Question::checked(std::function<void(const std::string&)> by) {
  check = std::move(by);
  return *this;
}

bool numbered(const std::vector<Choice>& choices) {
  return std::none_of(choices.begin(), choices.end(),
                      [](const Choice& choice) { return is_number(choice.id); });
}

std::vector<std::string> choice_lines(const std::vector<Choice>& choices, std::size_t width) {
  const std::size_t mark = numbered(choices) ? std::to_string(choices.size()).size() : 0;
  std::size_t widest = 0;
  for (const Choice& choice : choices) widest = std::max(widest, display_width(shown(choice.id)));
  std::vector<std::string> cells;
  for (std::size_t i = 0; i < choices.size(); ++i)
    cells.push_back((mark > 0 ? fmt::format("{:>{}}  ", i + 1, mark) : "") +
                    padded(shown(choices[i].id), widest));
  std::vector<std::string> out;
  if (choices.size() <= most_lines) {
    const std::size_t indent = 2 + (mark > 0 ? mark + 2 : 0) + widest + 2;
    for (std::size_t i = 0; i < choices.size(); ++i) {
      std::string line = "  " + cells[i] + "  ";
      for (const std::string& words :
           wrap(shown(choices[i].words), width > indent + 20 ? width - indent : 20)) {
        line += words;
        line.erase(line.find_last_not_of(' ') + 1);
        out.push_back(std::move(line));
        line = std::string(indent, ' ');
      }
    }
    return out;
  }
  const std::size_t cell = 2 + (mark > 0 ? mark + 2 : 0) + widest;
  const std::size_t columns = std::max<std::size_t>(1, width / cell);
  const std::size_t rows = (cells.size() + columns - 1) / columns;
  for (std::size_t row = 0; row < rows; ++row) {
    std::string line;
    for (std::size_t i = row; i < cells.size(); i += rows) line += "  " + cells[i];
    line.erase(line.find_last_not_of(' ') + 1);
    out.push_back(std::move(line));
  }
  return out;
}

std::string chosen(const std::string& answer, const std::vector<Choice>& choices) {
  for (const Choice& choice : choices)
    if (choice.id == answer) return choice.id;
  for (const Choice& choice : choices)
    if (lower_ascii(choice.id) == lower_ascii(answer) ||
        (!choice.words.empty() && lower_ascii(choice.words) == lower_ascii(answer)))
      return choice.id;
  if (!numbered(choices) || !is_number(answer)) return {};
  std::size_t number = 0;
  const auto read = std::from_chars(answer.data(), answer.data() + answer.size(), number);
  return read.ec == std::errc{} && number >= 1 && number <= choices.size() ? choices[number - 1].id
                                                                           : "";
}

}  // namespace trencher::commands
