// How a language writes dates and lists; templates/language holds its words.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "domain/time.h"
#include "paper/phrases.h"

namespace trencher::paper {

class Language {
 public:
  // Error request where there is no such language; names those that are.
  explicit Language(std::string_view id);

  const std::string& id() const { return id_; }
  std::string long_date(Day day) const;             // "5 December 2026", "5 de diciembre de 2026"
  std::string long_moment(const Moment& at) const;  // with the time of day: "…, 14:30"
  std::string short_date(Day day) const;            // "5 Dec", for a narrow place
  std::string all_of(const std::vector<std::string>& parts) const;  // "a, b and c"
  std::string any_of(const std::vector<std::string>& parts) const;  // "a, b or c"
  // A size or amount as show() writes it, with the language's decimal mark and word for the inch,
  // held together by no-break spaces: "400 × 250 × 22,5 mm".
  std::string measure(std::string shown) const;

 private:
  std::string id_;
  Words words_;
};

// The languages that the papers of this program are written in, beside those with fewer.
const std::vector<std::string>& languages();

// With no-break spaces, so that it stays on one line.
std::string unbroken(std::string text);
// With a capital first letter, for the beginning of a line: "érable" becomes "Érable".
std::string capitalised(std::string text);
// In small letters, those of the four languages with accents among them.
std::string small_letters(std::string_view text);

}  // namespace trencher::paper
