#include "commands/softening.h"

#include <fmt/format.h>

#include "domain/text.h"
#include "paper/notice.h"

namespace trencher::commands {

std::vector<engine::Finding> softening_findings(const std::string& option,
                                                const std::string& text) {
  std::vector<std::string> quoted;
  for (const std::string& word : paper::softening_words(text)) quoted.push_back("'" + word + "'");
  if (quoted.empty()) return {};
  return {{"softening-words", "suitability", engine::Result::stop, option,
           fmt::format("{} holds {}: a recall notice must not make a risk look smaller than it is.",
                       option, join_words(quoted)),
           "Reg. (EU) 2023/988 art 36(2)"}};
}

}  // namespace trencher::commands
