// What has come in, by its supplier and lot: the way in which a supplier names what is withdrawn.
#pragma once

#include <string>
#include <vector>

#include "commands/call.h"

namespace trencher::commands {

// A tin, thing or wood lot that was received.
struct Supply {
  std::string id, name, supplier, lot;
};
// Error::request with near matches where `id` is no tin, thing or wood lot of the book.
void need_material(Call& call, const std::string& id);
std::vector<Supply> supplies(Call& call);
// "F7 Clear oil, from Oils, lot C-1"
std::string supply_words(const Supply& supply);

// Whether supplier and lot are the same, ignoring case and runs of blanks.
bool same_supply(const Supply& a, const Supply& b);
// Whether they differ by so little that a person should look: a slip in the lot, blanks, hyphens or
// the like left out, letters taken for digits, the supplier spelled nearly so, or the same lot of
// another supplier.
bool looks_alike(const Supply& a, const Supply& b);

struct SupplySearch {
  std::vector<Supply> same, alike;
};
SupplySearch find_supplies(Call& call, const std::string& supplier, const std::string& lot);

// --supplier and --lot, as several commands take them.
struct SupplyOptions {
  std::string supplier, lot;
  void declare(Call& call);
  // Both or neither, and not with ids. Error::request.
  void check(const std::vector<std::string>& ids);
  bool given() const { return !supplier.empty(); }
  // Those that are the same; Error::request naming those that look alike where there is none.
  SupplySearch need(Call& call) const;
};
std::vector<std::string> ids_of_supplies(const std::vector<Supply>& found);
// "F7 Clear oil, from Oils, lot C-1; …"
std::string words_of_supplies(const std::vector<Supply>& found);

}  // namespace trencher::commands
