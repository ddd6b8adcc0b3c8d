#include "book/line_blocks.h"

#include <utility>

namespace trencher::book {

bool LineBlocks::next(std::string& block) {
  constexpr std::size_t at_once = 16'384;
  block = std::exchange(rest_, {});
  for (;;) {
    const std::size_t before = block.size();
    block.resize(before + at_once);
    in_.read(block.data() + before, at_once);
    const auto read = static_cast<std::size_t>(in_.gcount());
    block.resize(before + read);
    if (read < at_once) return !block.empty();
    // Only in what is new: a file's line may be as long as the file.
    const auto end = std::string_view(block).substr(before).rfind('\n');
    if (end == std::string_view::npos) continue;
    rest_.assign(block, before + end + 1);
    block.resize(before + end + 1);
    return true;
  }
}

}  // namespace trencher::book
