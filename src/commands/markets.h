// What the program says of the markets that choices.h lists.
#pragma once

#include <string>

namespace trencher::commands {

// Whose list of allergens a market follows: us-ca follows us, de follows eu.
std::string allergen_list_of(const std::string& market);
// "the United States"
std::string market_name(const std::string& market);

}  // namespace trencher::commands
