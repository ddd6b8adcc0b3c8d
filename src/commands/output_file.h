// Where a paper goes.
#pragma once

#include <filesystem>
#include <string>

#include "commands/call.h"

namespace trencher::commands {

// The path that was typed with -o, ready to be written. Error::request where it is the book itself
// or holds something that is no PDF: a paper replaces papers only.
std::filesystem::path need_pdf_path(Call& call, std::string& typed);

// The same for a table: it replaces only a file that begins with the same headings.
std::filesystem::path need_csv_path(Call& call, std::string& typed, const std::string& head);

}  // namespace trencher::commands
