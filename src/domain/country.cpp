#include "domain/country.h"

#include <algorithm>

namespace trencher {

bool is_country(std::string_view code) {
  return std::binary_search(country_codes.begin(), country_codes.end(), code);
}

}  // namespace trencher
