// Where a paper goes.
#pragma once

#include <filesystem>
#include <string>

#include "commands/call.h"

namespace trencher::commands {

// The path that was typed with -o, ready to be written. Error::request where it is the book itself
// or holds something that is no PDF: a paper replaces papers only.
std::filesystem::path need_pdf_path(Call& call, std::string& typed);

}  // namespace trencher::commands
