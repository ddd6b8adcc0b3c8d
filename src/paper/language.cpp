#include "paper/language.h"

#include <fmt/format.h>

#include <chrono>

#include "domain/text.h"

namespace trencher::paper {
namespace {

// U+00C0 to U+00DE are the capitals of U+00E0 to U+00FE, both two bytes that begin with 0xC3.
constexpr char latin = '\xC3';
bool between(char second, unsigned from, unsigned to, unsigned but) {
  const auto byte = static_cast<unsigned char>(second);
  return byte >= from && byte <= to && byte != but;
}
bool is_capital(char second) { return between(second, 0x80, 0x9E, 0x97); }
bool is_small(char second) { return between(second, 0xA0, 0xBE, 0xB7); }

// Whether the word begins with the sound of i: "isocianatos", "higo", but not "hielo".
bool sounds_like_i(const std::string& word) {
  if (word.starts_with("i") || word.starts_with("í")) return true;
  return (word.starts_with("hi") || word.starts_with("hí")) && !word.starts_with("hie") &&
         !word.starts_with("hia");
}

bool sounds_like_o(const std::string& word) {
  return word.starts_with("o") || word.starts_with("ó") || word.starts_with("ho") ||
         word.starts_with("hó");
}

}  // namespace

Language::Language(std::string_view id) : id_(id), words_("language", id) {}

std::string Language::long_date(Day day) const {
  const unsigned of_month = static_cast<unsigned>(day.day());
  return words_("date",
                {{"day", of_month == 1 ? words_("first-day") : std::to_string(of_month)},
                 {"month", words_(fmt::format("month-{}", static_cast<unsigned>(day.month())))},
                 {"year", std::to_string(static_cast<int>(day.year()))}});
}

std::string Language::long_moment(const Moment& at) const {
  const auto local = at.at + std::chrono::minutes(at.offset_minutes);
  const std::chrono::hh_mm_ss time(std::chrono::floor<std::chrono::minutes>(
      local - std::chrono::floor<std::chrono::days>(local)));
  return fmt::format("{}, {:02}:{:02}", long_date(local_day(at)), time.hours().count(),
                     time.minutes().count());
}

std::string Language::short_date(Day day) const {
  const unsigned month = static_cast<unsigned>(day.month());
  return words_("short-date",
                {{"day", std::to_string(static_cast<unsigned>(day.day()))},
                 {"month", id_ == "en" ? words_(fmt::format("month-{}", month)).substr(0, 3)
                                       : std::to_string(month)}});
}

std::string Language::all_of(const std::vector<std::string>& parts) const {
  const bool i = !parts.empty() && sounds_like_i(small_letters(parts.back()));
  // "lupin, sulphur dioxide and sulphites": the last one brings the word along.
  if (parts.size() > 1 && parts.back().find(" " + words_("and") + " ") != std::string::npos)
    return join(parts, ", ");
  return join_words(parts, words_(i ? "and-before-i" : "and"));
}

std::string Language::any_of(const std::vector<std::string>& parts) const {
  const bool o = !parts.empty() && sounds_like_o(small_letters(parts.back()));
  return join_words(parts, words_(o ? "or-before-o" : "or"));
}

std::string Language::measure(std::string shown) const {
  const auto digit = [&](std::size_t at) { return shown[at] >= '0' && shown[at] <= '9'; };
  const std::string mark = words_("decimal-mark");
  for (std::size_t at = 1; at + 1 < shown.size(); ++at)
    if (shown[at] == '.' && digit(at - 1) && digit(at + 1)) shown.replace(at, 1, mark);
  if (shown.ends_with(" in")) shown.replace(shown.size() - 2, 2, words_("inch"));
  return unbroken(shown);
}

const std::vector<std::string>& languages() {
  static const std::vector<std::string> all{"en", "de", "fr", "es"};
  return all;
}

std::string unbroken(std::string text) {
  for (std::size_t at = 0; (at = text.find(' ', at)) != std::string::npos;)
    text.replace(at, 1, "\u00A0");
  return text;
}

std::string capitalised(std::string text) {
  if (text.empty()) return text;
  if (text[0] >= 'a' && text[0] <= 'z')
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  else if (text.size() > 1 && text[0] == latin && is_small(text[1]))
    text[1] = static_cast<char>(text[1] - 0x20);
  else if (text.starts_with("œ"))
    text.replace(0, 2, "Œ");
  return text;
}

std::string small_letters(std::string_view text) {
  std::string out = lower_ascii(text);
  for (std::size_t i = 1; i < out.size(); ++i)
    if (out[i - 1] == latin && is_capital(out[i])) out[i] = static_cast<char>(out[i] + 0x20);
  return out;
}

}  // namespace trencher::paper
