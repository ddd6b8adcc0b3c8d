#include <fmt/format.h>

#include <algorithm>
#include <ostream>

#include "commands/call.h"
#include "domain/hidden.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::size_t longest_cell = 2 * longest_text;  // bytes, of a table
constexpr std::size_t gap = 2;
constexpr std::size_t narrowest = 8, narrowest_last = 20;

// The words say the same; colour only helps the eye to them.
std::string coloured(const std::string& mark, bool allowed) {
  const std::size_t begin = mark.find_first_not_of(' ');
  if (!allowed || begin == std::string::npos) return mark;
  const std::string word = mark.substr(begin);
  const char* colour = word == "stop:"                         ? "1;31"
                       : word == "caution:" || word == "Mind:" ? "33"
                       : word == "Next:"                       ? "1"
                                                               : nullptr;
  if (!colour) return mark;
  return fmt::format("{}\x1b[{}m{}\x1b[0m", mark.substr(0, begin), colour, word);
}

// Widths of the columns of `rows` that take `width` columns together: the widest gives way first.
std::vector<std::size_t> fitted(const std::vector<std::vector<std::string>>& rows,
                                std::size_t width) {
  std::vector<std::size_t> out(rows.front().size(), 0);
  for (const auto& row : rows)
    for (std::size_t i = 0; i < out.size(); ++i) out[i] = std::max(out[i], display_width(row[i]));
  std::size_t total = gap * (out.size() - 1);
  for (const std::size_t column : out) total += column;
  const auto slack = [&](std::size_t i) {
    const std::size_t least = i + 1 == out.size() ? narrowest_last : narrowest;
    return out[i] > least ? out[i] - least : 0;
  };
  while (total > width) {
    // The last column first: it holds the sentences.
    std::size_t widest = out.size() - 1;
    if (slack(widest) == 0)
      for (std::size_t i = 0; i < out.size(); ++i)
        if (slack(i) > slack(widest)) widest = i;
    if (slack(widest) == 0) break;
    --out[widest];
    --total;
  }
  return out;
}

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
    surroundings_.out << (first ? coloured(mark, surroundings_.colour) + " "
                                : std::string(indent, ' '))
                      << line << '\n';
    first = false;
  }
}

void Call::table(const std::vector<std::string>& head, std::vector<std::vector<std::string>> rows) {
  rows.insert(rows.begin(), head);
  for (std::vector<std::string>& row : rows)
    for (std::string& cell : row) cell = shown(cell, longest_cell);
  const std::vector<std::size_t> widths = fitted(rows, surroundings_.table_width);
  for (const std::vector<std::string>& row : rows) {
    std::vector<std::vector<std::string>> cells;
    std::size_t height = 0;
    for (std::size_t i = 0; i < row.size(); ++i) {
      cells.push_back(wrap_hard(row[i], widths[i]));
      height = std::max(height, cells.back().size());
    }
    for (std::size_t n = 0; n < height; ++n) {
      std::string line;
      for (std::size_t i = 0; i < cells.size(); ++i) {
        const std::string cell = n < cells[i].size() ? cells[i][n] : "";
        line += cell + std::string(widths[i] + gap - std::min(widths[i], display_width(cell)), ' ');
      }
      line.erase(line.find_last_not_of(' ') + 1);
      surroundings_.out << line << '\n';
    }
  }
}

void Call::findings(const std::vector<engine::Finding>& found) {
  for (const engine::Finding& finding : found) {
    if (finding.result == engine::Result::fine || finding.result == engine::Result::held) continue;
    say_list(fmt::format("  {}:", to_string(finding.result)), finding.reason);
  }
}

}  // namespace trencher::commands
