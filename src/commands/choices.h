// Values that several commands let the user choose from, and ids made out of names.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "commands/call.h"

namespace trencher::commands {

const std::vector<std::string>& markets();  // us, us-ca, eu, uk, de, ca, anz
const std::vector<std::string>& unit_systems();
const std::vector<std::string>& ways_of_leaving();  // gift, sale, private-gift
const std::vector<std::string>& severities();  // of a complaint: flaw, could-hurt, hurt-somebody
std::string severity_words(const std::string& severity);
// The marks of ISPM 15 on wood packaging: heat, methyl bromide, dielectric heat, sulphuryl fluoride
// (docs/sources.md); none: looked for and not there.
const std::vector<std::string>& ispm_marks();
const std::vector<std::string>& paper_topics();  // what a supplier's paper is about
// "us", "DE": a code of ISO 3166-1, of two letters.
std::string country_code(const std::string& typed, const std::string& name);
inline constexpr const char* responsible_help =
    "who answers for its boards in the European Union where the workshop is outside: name, postal "
    "and e-mail address";
std::string id_prefix(const std::string& stock);  // G, F or X

// The ids of a shipped table, in its order.
template <typename Items>
std::vector<std::string> ids_of(const Items& items) {
  std::vector<std::string> out;
  for (const auto& item : items) out.push_back(item.id);
  return out;
}

// Each of `values` must be among `known` (Error::request with near matches); repeated ones are
// taken once, order kept.
std::vector<std::string> known_values(const std::vector<std::string>& values,
                                      const std::string& what,
                                      const std::vector<std::string>& known,
                                      const Whence& whence = {});
std::vector<std::string> known_allergens(const std::vector<std::string>& ids);

// An id of a-z, 0-9 and single hyphens: "Drying cupboard" gives "drying-cupboard". Empty where the
// name has none of those letters.
std::string slug(std::string_view name);

}  // namespace trencher::commands
