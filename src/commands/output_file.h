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

// Of a file that is written over only where `replace` says so: Error::request where it is there
// without that, is the book itself, or is no ordinary file.
void refuse_existing(Call& call, const std::filesystem::path& file, bool replace);

// Of a file that is never written over: Error::request where something is there.
void refuse_there(const std::filesystem::path& file);

}  // namespace trencher::commands
