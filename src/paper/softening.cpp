// The words that a notice of a recall may not use. Regulation (EU) 2023/988 article 36(2)(c) names
// "voluntary", "precautionary", "discretionary", "in rare situations" and "in specific situations",
// and that no accidents were reported (the first four read in law digests, the other two from
// memory). Their like in the other languages, and what else says that it is not so bad, are ours.
#include <algorithm>
#include <array>

#include "paper/language.h"
#include "paper/notice.h"

namespace trencher::paper {
namespace {

// How a word or phrase begins, in small letters: endings follow.
constexpr std::array<std::string_view, 62> softening{
    // English
    "voluntar", "precaution", "discretion", "in rare situation", "in rare case", "rarely",
    "in specific situation", "in some cases", "in isolated cases", "isolated case", "no accident",
    "no incident", "no injur", "out of caution", "abundance of caution", "just in case", "unlikely",
    "low risk", "minor risk", "small risk", "slight risk",
    // German
    "freiwillig", "vorsorglich", "vorsichtshalber", "zur vorsicht", "aus vorsicht",
    "sicherheitshalber", "nach eigenem ermessen", "in seltenen", "selten", "in einzelfällen",
    "in bestimmten situationen", "in bestimmten fällen", "keine unfälle", "kein unfall",
    "unwahrscheinlich", "geringes risiko", "geringe gefahr",
    // French
    "volontaire", "précaution", "par prudence", "à titre préventif", "à titre facultatif",
    "discrétionnaire", "dans de rares", "rarement", "dans certaines situations",
    "dans certains cas", "aucun accident", "peu probable", "risque faible", "faible risque",
    // Spanish
    "voluntari", "precaución", "precautori", "con carácter preventivo", "discrecional", "en raras",
    "en casos raros", "en situaciones concretas", "ningún accidente", "poco probable"};

// Letters of the four languages beyond ASCII are two bytes, the first of them one of these;
// quotation marks are not.
bool begins_letter(char c) { return c == '\xC3' || c == '\xC5'; }

// How many bytes the letter at `at` has; 0: none is there.
std::size_t letter_at(const std::string& text, std::size_t at) {
  if (text[at] >= 'a' && text[at] <= 'z') return 1;
  return begins_letter(text[at]) && at + 1 < text.size() ? 2 : 0;
}

bool letter_before(const std::string& text, std::size_t at) {
  return (at >= 1 && letter_at(text, at - 1) == 1) || (at >= 2 && letter_at(text, at - 2) == 2);
}

// Small letters, and one blank wherever there are several or a line ends.
std::string flattened(std::string_view text) {
  std::string out;
  for (const char c : small_letters(text)) {
    const bool blank = c == ' ' || c == '\n' || c == '\t' || c == '\r';
    if (blank && (out.empty() || out.back() == ' ')) continue;
    out += blank ? ' ' : c;
  }
  return out;
}

}  // namespace

std::vector<std::string> softening_words(std::string_view text) {
  const std::string all = flattened(text);
  std::vector<std::string> out;
  for (const std::string_view begin : softening)
    for (std::size_t at = 0; (at = all.find(begin, at)) != std::string::npos; ++at) {
      if (letter_before(all, at)) continue;
      std::size_t end = at + begin.size();
      while (end < all.size() && letter_at(all, end) > 0) end += letter_at(all, end);
      const std::string word = all.substr(at, end - at);
      if (std::find(out.begin(), out.end(), word) == out.end()) out.push_back(word);
    }
  return out;
}

}  // namespace trencher::paper
