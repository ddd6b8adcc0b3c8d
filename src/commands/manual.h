// Manual pages and the reference, of what every command declares.
#pragma once

#include <string>
#include <string_view>

#include "commands/command.h"

namespace trencher::commands {

// In the form of man(7): of the program as a whole, and of one command.
std::string manual_page(std::string_view version);
std::string manual_page(const Command& command, std::string_view version);
// All commands, in Markdown.
std::string reference_page();

}  // namespace trencher::commands
