// The text that an offer from a distance carries (Reg. (EU) 2023/988 art 19): the maker, who
// answers in the Union, what identifies the board, warnings and safety information.
#pragma once

#include <string>
#include <vector>

namespace trencher::paper {

enum class OfferContact { unknown, from_date, guessed };

// All texts come already in the language.
struct OfferContent {
  std::string language = "en";  // en, de, fr, es
  std::string maker, address, contact;
  std::string responsible;           // in the Union; empty: nobody
  std::string batch;                 // "26-014"
  std::string use, size;             // "Cutting board", "400 × 250 × 22 mm"
  std::string woods;                 // empty: not recorded
  std::string finish, glue, others;  // kinds, in words; empty: none
  std::string picture;               // the name of its file; empty: nothing is said
  OfferContact first_contact = OfferContact::unknown;
  std::string first_contact_on;
  std::string contains, none_recorded, not_known;  // allergens and substances, in words
  std::string shared;  // what rags, brushes and bench also touch; empty: nothing or not declared
  std::string list;    // whose list of food allergens they follow
  bool for_cutting = false;   // of a cutting board
  bool for_food = true;       // no toy
  bool self_heating = false;  // what renews its finish can set rags alight
};

// Lines of at most 72 columns (a longer word stands alone). Error request: an unknown language, a
// value with a line break.
std::string offer_text(const OfferContent& content);

}  // namespace trencher::paper
