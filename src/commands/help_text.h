// What the help and the manual pages say of a command besides what it declares. Every example is
// run by tests/manual_test.py.
#pragma once

#include <string_view>
#include <vector>

namespace trencher::commands {

struct HelpText {
  std::string_view about;                  // whole sentences; may be empty
  std::vector<std::string_view> examples;  // without "trencher " at their beginning
};

// Of a command; empty where there is no such command.
const HelpText& help_text(std::string_view command);

}  // namespace trencher::commands
