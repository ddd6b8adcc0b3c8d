#include "commands/output_file.h"

#include <fmt/format.h>

#include <fstream>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

namespace {

// What is there already must begin with `head`.
std::filesystem::path need_path(Call& call, std::string& typed, const std::string& question,
                                const std::string& head, const std::string& kind) {
  call.need(typed, "-o", question);
  const std::filesystem::path path = checked_text(typed, "-o");
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored)) return path;
  if (std::filesystem::equivalent(path, call.book_path(), ignored))
    throw Error::request(fmt::format("-o '{}' is the book itself.", path.string()));
  std::string there(head.size(), '\0');
  std::ifstream(path, std::ios::binary)
      .read(there.data(), static_cast<std::streamsize>(there.size()));
  if (there != head)
    throw Error::request(
        fmt::format("-o '{}' exists and is no {}; it is not replaced.", path.string(), kind));
  return path;
}

}  // namespace

std::filesystem::path need_pdf_path(Call& call, std::string& typed) {
  return need_path(call, typed, "File for the PDF", "%PDF-", "PDF");
}

std::filesystem::path need_csv_path(Call& call, std::string& typed, const std::string& head) {
  return need_path(call, typed, "File for the table", head, "table of this kind");
}

}  // namespace trencher::commands
