#include "engine/market.h"

#include <algorithm>
#include <array>
#include <regex>

namespace trencher::engine {

bool has_electronic_address(std::string_view contact) {
  static const std::regex address(
      R"((^|[\s,;<(])(https?://|www\.)?([^\s@,;<>]+@)?[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)*\.[A-Za-z]{2,}([/?#][^\s]*)?($|[\s,;>).]))");
  return std::regex_search(contact.begin(), contact.end(), address);
}

// The 27 members, from memory of the treaties; look again when one joins or leaves.
bool is_in_union(std::string_view country) {
  constexpr std::array<std::string_view, 27> members{
      "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU",
      "IE", "IT", "LT", "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK"};
  return std::find(members.begin(), members.end(), country) != members.end();
}

std::vector<std::string> missing_from_offer(const OfferFacts& facts, std::string_view market) {
  std::vector<std::string> out;
  if (facts.address.empty()) out.emplace_back("The maker's postal address is not in the book.");
  if (!has_electronic_address(facts.contact))
    out.emplace_back("The maker's contact names no e-mail or web address.");
  if (!facts.photograph) out.emplace_back("No photograph of the batch is in the book.");
  if (facts.woods.empty()) out.emplace_back("The wood is not recorded.");
  if (market != "eu" && market != "de") return out;
  if (facts.country.empty())
    out.emplace_back(
        "Whether the maker is in the Union is not recorded, so whether a responsible person there "
        "must be named is not known.");
  else if (!is_in_union(facts.country) && facts.responsible.empty())
    out.emplace_back(
        "The maker is outside the Union and no responsible person there is in the book.");
  return out;
}

}  // namespace trencher::engine
