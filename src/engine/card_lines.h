// Which lines a care card carries: what follows from market, use, finish and way of leaving.
// Whether a card makes a board lawful the program never says; what a rule asks for by name is
// mandatory only where a rule of the market that applies is in the book (commands/card.cpp looks).
#pragma once

#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace trencher {
struct Rule;
}

namespace trencher::engine {

struct CardCase {
  std::string market;  // us, us-ca, eu, de, uk, ca, anz
  std::string use;     // cutting-board
  std::string as;      // gift, sale, private-gift
  bool food_business = false;
  bool glued = false;         // a glue-up is recorded
  bool self_heating = false;  // the finish for re-oiling makes rags heat by themselves
  bool has_address = false;   // of the maker: a postal address
  bool has_contact = false;   // a telephone, mail or web address
  bool has_electronic_address = false;
  bool has_responsible = false;  // somebody in the Union answers for the boards
  bool has_ingredients = false;  // somebody's list for a finish is in the record
  bool has_others = false;       // fillings, feet, inlay
  bool has_shared = false;       // shared rags and bench are declared to touch something
};

// The keys of all lines, in the order of a card.
std::span<const std::string_view> card_line_keys();

// The keys of those that this card carries, in the same order.
std::vector<std::string> card_lines(const CardCase& card);

// The lines that a rule asks for by name, by its check (maker-on-card, batch-code-on-card). Empty
// for any other check, and for what a private person gives away. An electronic address is asked for
// by (EU) 2023/988 art 9(6) alone.
std::vector<std::string> lines_asked_by(const Rule& rule, const CardCase& card);

}  // namespace trencher::engine
