// Where a paper goes.
#pragma once

#include <filesystem>
#include <string>
#include <utility>

#include "commands/call.h"

namespace trencher::commands {

// The path that was typed with -o, ready to be written. Error::request where it is the book itself
// or holds something that is no PDF: a paper replaces papers only.
std::filesystem::path need_pdf_path(Call& call, std::string& typed);

// The same for a table: it replaces only a file that begins with the same headings.
std::filesystem::path need_csv_path(Call& call, std::string& typed, const std::string& head);

// A paper that is written before its entry: taken away again where the entry does not get into the
// book.
class PaperOfEntry {
 public:
  explicit PaperOfEntry(std::filesystem::path path) : path_(std::move(path)) {}
  ~PaperOfEntry();
  PaperOfEntry(const PaperOfEntry&) = delete;
  PaperOfEntry& operator=(const PaperOfEntry&) = delete;
  void entered() { path_.clear(); }

 private:
  std::filesystem::path path_;
};

// Of a file that is written over only where `replace` says so: Error::request where it is there
// without that, is the book itself, or is no ordinary file.
void refuse_existing(Call& call, const std::filesystem::path& file, bool replace);

// Of a file that is never written over: Error::request where something is there.
void refuse_there(const std::filesystem::path& file);

}  // namespace trencher::commands
