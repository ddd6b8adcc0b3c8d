#include "commands/markets.h"

namespace trencher::commands {

std::string allergen_list_of(const std::string& market) {
  if (market == "us-ca") return "us";
  if (market == "de") return "eu";
  return market;
}

std::string market_name(const std::string& market) {
  if (market == "us") return "the United States";
  if (market == "us-ca") return "California";
  if (market == "eu") return "the European Union";
  if (market == "uk") return "the United Kingdom";
  if (market == "de") return "Germany";
  if (market == "ca") return "Canada";
  return "Australia and New Zealand";
}

}  // namespace trencher::commands
