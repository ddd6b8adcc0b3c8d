#include "commands/markets.h"

#include "domain/kinds.h"

namespace trencher::commands {

std::string allergen_list_of(const std::string& market) {
  return std::string(wider_market(market));
}

std::string market_name(const std::string& market) {
  if (market == "us") return "the United States";
  if (market == "us-ca") return "California";
  if (market == "eu") return "the European Union";
  if (market == "uk") return "the United Kingdom";
  if (market == "de") return "Germany";
  if (market == "ca") return "Canada";
  if (market == "any") return "every market";
  return "Australia and New Zealand";
}

}  // namespace trencher::commands
