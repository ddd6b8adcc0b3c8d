// A file's lines, many at once.
#pragma once

#include <istream>
#include <string>
#include <string_view>

namespace trencher::book {

class LineBlocks {
 public:
  explicit LineBlocks(std::istream& in) : in_(in) {}
  // Some whole lines, the last perhaps without its end; false: there are no more.
  bool next(std::string& block);

 private:
  std::istream& in_;
  std::string rest_;  // the beginning of a line
};

// Calls `use` with each line of a block, without its end.
template <typename Use>
void each_line(std::string_view block, Use use) {
  while (!block.empty()) {
    const auto end = block.find('\n');
    use(block.substr(0, end));
    if (end == std::string_view::npos) return;
    block.remove_prefix(end + 1);
  }
}

}  // namespace trencher::book
