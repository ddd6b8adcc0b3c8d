// Where a paper goes.
#pragma once

#include <filesystem>
#include <list>
#include <string>
#include <string_view>
#include <utility>
#include <vector>

#include "commands/call.h"
#include "domain/atomic_file.h"

namespace trencher::commands {

// The path that was typed with -o, ready to be written. Error::request where it is the book itself
// or holds something that is no PDF: a paper replaces papers only.
std::filesystem::path need_pdf_path(Call& call, std::string& typed);

// The same for a table: it replaces only a file that begins with the same headings.
std::filesystem::path need_csv_path(Call& call, std::string& typed, const std::string& head);

// The same for a calendar: it replaces one of ours, and nothing else: the maker's own
// appointments, say.
std::filesystem::path need_calendar_path(Call& call, std::string& typed);

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

// The same for a paper in several files: all appear or none.
class PapersOfEntry {
 public:
  PapersOfEntry() = default;
  ~PapersOfEntry();
  PapersOfEntry(const PapersOfEntry&) = delete;
  PapersOfEntry& operator=(const PapersOfEntry&) = delete;

  // Written, but without its name yet.
  void add(const std::filesystem::path& path, std::string_view bytes);
  void appear();
  void entered() { appeared_.clear(); }
  // In the order in which they were added.
  const std::vector<std::string>& paths() const { return paths_; }

 private:
  std::list<WholeFile> waiting_;
  std::vector<std::string> paths_;
  std::vector<std::filesystem::path> appeared_;
};

// The path of one of several files, counted from 0: "cards.pdf", "cards-2.pdf", as many figures as
// the last one's.
std::filesystem::path numbered_path(const std::filesystem::path& path, std::size_t file,
                                    std::size_t files);

// Of a file that is written over only where `replace` says so: Error::request where it is there
// without that, is the book itself, or is no ordinary file.
void refuse_existing(Call& call, const std::filesystem::path& file, bool replace);

// Of a file that is never written over: Error::request where something is there.
void refuse_there(const std::filesystem::path& file);

}  // namespace trencher::commands
