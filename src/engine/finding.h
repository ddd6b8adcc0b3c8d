// The result of one check.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>
#include <vector>

namespace trencher::engine {

// The first three are of suitability alone, the last three of the rules of a market: what the
// record holds is evidence, and whether it is enough the program never says. Not known is of both.
enum class Result { fine, caution, stop, not_known, held, not_held, yours };

struct Finding {
  std::string check;                 // species-pore
  std::string kind = "suitability";  // suitability or market
  Result result = Result::not_known;
  std::string about;   // what it is about: "W1 hard maple", "F1", "entry 12"
  std::string reason;  // a whole sentence
  std::string source;  // whose rule it is; 'ours' where it is the program's own
  // Of the rules of a market: the rule's key, and the entries that the result rests on.
  std::string rule = {};
  std::vector<std::int64_t> entries = {};
};

std::string_view to_string(
    Result result);  // fine, caution, stop, not known, held, not held, yours to decide
bool has_stop(const std::vector<Finding>& findings);

}  // namespace trencher::engine
