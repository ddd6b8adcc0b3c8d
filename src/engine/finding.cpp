#include "engine/finding.h"

#include <algorithm>

namespace trencher::engine {

std::string_view to_string(Result result) {
  switch (result) {
    case Result::fine:
      return "fine";
    case Result::caution:
      return "caution";
    case Result::stop:
      return "stop";
    case Result::held:
      return "held";
    case Result::not_held:
      return "not held";
    case Result::yours:
      return "yours to decide";
    case Result::not_known:
      break;
  }
  return "not known";
}

bool has_stop(const std::vector<Finding>& findings) {
  return std::any_of(findings.begin(), findings.end(),
                     [](const Finding& f) { return f.result == Result::stop; });
}

}  // namespace trencher::engine
