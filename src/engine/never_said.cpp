#include "engine/never_said.h"

#include <fmt/format.h>

#include <array>

#include "domain/text.h"

namespace trencher::engine {
namespace {

constexpr std::array<std::pair<std::string_view, std::string_view>, 20> spellings{{
    {"\u00A0", " "}, {"\u202F", " "}, {"\u2009", " "}, {"-", " "},      {"\u2010", " "},
    {"\u2011", " "}, {"\u2012", " "}, {"\u2013", " "}, {"\u2014", " "}, {"\u00AD", ""},
    {"\u2019", "'"}, {"\t", " "},     {"\n", " "},     {"Ä", "ä"},      {"Ö", "ö"},
    {"Ü", "ü"},      {"É", "é"},      {"À", "à"},      {"Ó", "ó"},      {"Í", "í"},
}};

// Lower case, every hyphen a blank, single blanks, one at each end.
std::string plain_words(std::string_view text) {
  std::string out = lower_ascii(text);
  for (const auto& [from, to] : spellings)
    for (std::size_t at = 0; (at = out.find(from, at)) != std::string::npos; at += to.size())
      out.replace(at, from.size(), to);
  std::string single = " ";
  for (const char c : out)
    if (c != ' ' || single.back() != ' ') single += c;
  if (single.back() != ' ') single += ' ';
  return single;
}

bool is_letter(char c) {
  return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || static_cast<unsigned char>(c) >= 0x80;
}

// Where the phrase stands as whole words in `text` from `start` on; npos: nowhere.
std::size_t find_phrase(const std::string& text, const NeverSaid& phrase, std::size_t start) {
  std::string wanted = plain_words(phrase.phrase);
  wanted = wanted.substr(1, wanted.size() - 2);
  const bool any_ending = wanted.ends_with('*');
  if (any_ending) wanted.pop_back();
  for (std::size_t at = start; (at = text.find(wanted, at)) != std::string::npos; ++at) {
    const bool begins = !is_letter(text[at - 1]);
    const bool ends = any_ending || wanted.back() == '\'' || !is_letter(text[at + wanted.size()]);
    if (begins && ends) return at;
  }
  return std::string::npos;
}

}  // namespace

std::vector<const NeverSaid*> claims_in(std::string_view text, std::span<const NeverSaid> phrases) {
  std::string words = plain_words(text);
  for (const NeverSaid& phrase : phrases) {
    if (!phrase.denial) continue;
    const std::size_t length = plain_words(phrase.phrase).size() - 2;
    for (std::size_t at = 1; (at = find_phrase(words, phrase, at)) != std::string::npos;)
      words.replace(at, length, 1, '.');
  }
  std::vector<const NeverSaid*> out;
  for (const NeverSaid& phrase : phrases)
    if (!phrase.denial && find_phrase(words, phrase, 1) != std::string::npos)
      out.push_back(&phrase);
  return out;
}

std::vector<Finding> claim_findings(std::string_view text, const std::string& about, Result result,
                                    std::span<const NeverSaid> phrases) {
  std::vector<Finding> out;
  for (const NeverSaid* claim : claims_in(text, phrases)) {
    std::string phrase = claim->phrase;
    if (phrase.ends_with('*')) phrase.pop_back();
    out.push_back({"claim-in-text", "suitability", result, about,
                   fmt::format("'{}' says '{}', which no paper of this program may say of a board; "
                               "say instead: {}.",
                               text, phrase, claim->instead),
                   "ours"});
  }
  return out;
}

}  // namespace trencher::engine
