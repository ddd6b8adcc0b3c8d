#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "commands/call.h"
#include "domain/hidden.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::size_t longest_cell = 2 * longest_text;  // bytes, of a table

}  // namespace

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

}  // namespace trencher::commands
