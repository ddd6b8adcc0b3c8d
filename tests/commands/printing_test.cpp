#include <algorithm>
#include <catch2/catch.hpp>
#include <sstream>

#include "commands/call.h"
#include "domain/text.h"

using namespace trencher;
using namespace trencher::commands;

namespace {

struct Printed {
  std::istringstream in;
  std::ostringstream out, err;
  Surroundings surroundings{.now = {}, .in = in, .out = out, .err = err};
  Call call(std::size_t width, bool colour = false) {
    surroundings.width = surroundings.table_width = width;
    surroundings.colour = colour;
    return Call("due", "", Access::none, {}, surroundings);
  }
  std::vector<std::string> lines() const {
    std::vector<std::string> all = split(out.str(), '\n');
    return all;
  }
};

const std::vector<std::string> head{"Id", "Name", "Supplier", "What"};
const std::vector<std::vector<std::string>> rows{
    {"F1", "Board Oil No. 1 with a name that goes on and on", "Wold Finishes and Sons",
     "a sentence that is long enough to be wrapped behind the other columns"},
    {"F2", "Öl für Brettchen", "木工房", "short"}};

}  // namespace

TEST_CASE("printing: a table keeps to the width, whatever its columns hold") {
  for (const std::size_t width : {44, 60, 80, 100, 200}) {
    CAPTURE(width);
    Printed printed;
    printed.call(width).table(head, rows);
    for (const std::string& line : printed.lines()) CHECK(display_width(line) <= width);
    // Nothing is cut: the same letters, in whatever order the columns lay them.
    std::string all = printed.out.str(), given;
    for (const auto& row : rows)
      for (const std::string& cell : row) given += cell;
    for (const std::string& cell : head) given += cell;
    for (std::string* letters : {&all, &given}) {
      std::erase_if(*letters, [](char c) { return c == ' ' || c == '\n'; });
      std::sort(letters->begin(), letters->end());
    }
    CHECK(all == given);
  }
  Printed wide;
  wide.call(200).table(head, rows);
  CHECK(wide.lines().size() == 3 + 1);  // and an empty end
}

TEST_CASE("printing: columns of a table stand under each other by the width of letters") {
  Printed printed;
  printed.call(80).table({"A", "B"}, {{"木工", "x"}, {"e\u0301e\u0301", "y"}, {"ab", "z"}});
  CHECK(printed.out.str() == "A     B\n木工  x\ne\u0301e\u0301    y\nab    z\n");
}

TEST_CASE("printing: a long word is broken, its marks stay with their letter") {
  CHECK(wrap_hard("abcdefg h", 3) == std::vector<std::string>{"abc", "def", "g", "h"});
  CHECK(wrap_hard("e\u0301e\u0301e\u0301", 2) ==
        std::vector<std::string>{"e\u0301e\u0301", "e\u0301"});
  CHECK(wrap_hard("木工房", 4) == std::vector<std::string>{"木工", "房"});
  CHECK(wrap_hard("木", 1) == std::vector<std::string>{"木"});
  CHECK(wrap_hard("", 5) == std::vector<std::string>{""});
}

TEST_CASE("printing: colour stands beside the words alone, and only where it is allowed") {
  Printed plain, coloured;
  const auto print = [](Call call) {
    call.say_list("  stop:", "too cold for the glue");
    call.say_list("Mind:", "oily rags");
    call.say_list("F1", "a tin");
  };
  print(plain.call(80));
  print(coloured.call(80, true));
  CHECK(plain.out.str() == "  stop: too cold for the glue\nMind: oily rags\nF1 a tin\n");
  CHECK(coloured.out.str() ==
        "  \x1b[1;31mstop:\x1b[0m too cold for the glue\n\x1b[33mMind:\x1b[0m oily rags\nF1 a "
        "tin\n");
}
