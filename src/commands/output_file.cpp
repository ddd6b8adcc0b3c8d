#include "commands/output_file.h"

#include <fmt/format.h>

#include <fstream>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

std::filesystem::path need_pdf_path(Call& call, std::string& typed) {
  call.need(typed, "-o", "File for the PDF");
  const std::filesystem::path path = checked_text(typed, "-o");
  std::error_code ignored;
  if (!std::filesystem::exists(path, ignored)) return path;
  if (std::filesystem::equivalent(path, call.book_path(), ignored))
    throw Error::request(fmt::format("-o '{}' is the book itself.", path.string()));
  std::string head(5, '\0');
  std::ifstream(path, std::ios::binary)
      .read(head.data(), static_cast<std::streamsize>(head.size()));
  if (head != "%PDF-")
    throw Error::request(
        fmt::format("-o '{}' exists and is no PDF; it is not replaced.", path.string()));
  return path;
}

}  // namespace trencher::commands
