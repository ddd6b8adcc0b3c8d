// The result of one check.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace trencher::engine {

enum class Result { fine, caution, stop, not_known };

struct Finding {
  std::string check;                 // species-pore
  std::string kind = "suitability";  // suitability or market
  Result result = Result::not_known;
  std::string about;   // what it is about: "W1 hard maple", "F1", "entry 12"
  std::string reason;  // a whole sentence
  std::string source;  // whose rule it is; 'ours' where it is the program's own
};

std::string_view to_string(Result result);  // fine, caution, stop, not known
bool has_stop(const std::vector<Finding>& findings);

}  // namespace trencher::engine
