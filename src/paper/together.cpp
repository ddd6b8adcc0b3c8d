#include "paper/together.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <set>
#include <string>

#include "paper/language.h"

namespace trencher::paper {
namespace {

constexpr std::array<std::string_view, 3> lots{"lot", "charge", "lote"};

bool is_digit(char c) { return c >= '0' && c <= '9'; }

std::string_view without_bracket(std::string_view word) {
  while (word.starts_with('(')) word.remove_prefix(1);
  return word;
}

// "3", "5." and "1er"
bool is_day(std::string_view word) {
  const auto end =
      static_cast<std::size_t>(std::find_if_not(word.begin(), word.end(), is_digit) - word.begin());
  const std::string_view rest = word.substr(end);
  return (end == 1 || end == 2) && (rest.empty() || rest == "." || rest == "er");
}

bool is_year(std::string_view word) {
  return word.size() >= 4 && std::all_of(word.begin(), word.begin() + 4, is_digit) &&
         (word.size() == 4 || !is_digit(word[4]));
}

bool is_month(std::string_view word) {
  static const std::set<std::string> months = [] {
    constexpr std::size_t short_form = 3;  // of the entries, which are in English
    std::set<std::string> out;
    for (const std::string& language : languages()) {
      const Words words("language", language);
      for (int month = 1; month <= 12; ++month) {
        const std::string name = small_letters(words(fmt::format("month-{}", month)));
        out.insert(name);
        if (language == "en") out.insert(name.substr(0, short_form));
      }
    }
    return out;
  }();
  return months.contains(small_letters(word));
}

}  // namespace

bool stand_together(std::string_view before, std::string_view after) {
  before = without_bracket(before);
  if (std::find(lots.begin(), lots.end(), small_letters(before)) != lots.end())
    return std::any_of(after.begin(), after.end(), is_digit);
  if (is_day(before)) return after == "de" || is_month(after);
  if (before == "de") return is_year(after) || is_month(after);
  return (is_year(after) || after == "de") && is_month(before);
}

}  // namespace trencher::paper
