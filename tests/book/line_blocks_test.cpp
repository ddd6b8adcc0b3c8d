#include "book/line_blocks.h"

#include <catch2/catch.hpp>
#include <sstream>
#include <string>
#include <vector>

using namespace trencher::book;

TEST_CASE("Lines come whole, whatever their length and wherever the blocks end") {
  for (const std::size_t length : {0, 1, 700, 16'382, 16'383, 16'384, 16'385, 70'000})
    for (const bool ended : {true, false}) {
      std::vector<std::string> lines;
      for (char c = 'a'; c <= 'e'; ++c) lines.emplace_back(length, c);
      lines.emplace_back("last");
      std::string text;
      for (const std::string& line : lines) text += line + '\n';
      if (!ended) text.pop_back();
      std::istringstream in(text);
      LineBlocks blocks(in);
      std::vector<std::string> read;
      for (std::string block; blocks.next(block);)
        each_line(block, [&](std::string_view line) { read.emplace_back(line); });
      CHECK(read == lines);
    }
  std::istringstream nothing("");
  std::string block;
  CHECK_FALSE(LineBlocks(nothing).next(block));
}
