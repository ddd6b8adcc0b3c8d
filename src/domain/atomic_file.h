// Writing a whole file so that its name never holds half of it.
#pragma once

#include <filesystem>
#include <string>
#include <string_view>

namespace trencher {

// A file that is written piece by piece under another name beside its own (mode 0600), which it
// gets when all of it is on the disk; until then it is gone with this object. Every failure is
// Error book, which names the file and the reason.
class WholeFile {
 public:
  explicit WholeFile(const std::filesystem::path& target);
  ~WholeFile();
  WholeFile(const WholeFile&) = delete;
  WholeFile& operator=(const WholeFile&) = delete;

  void write(std::string_view bytes);
  void finish_replacing();  // what is there under the name is replaced
  void finish_as_new();     // refused where something is there by now

 private:
  void flush();
  void flush_to_disk();

  std::filesystem::path target_;
  std::string name_;  // of the file until it is whole
  std::string waiting_;
  int descriptor_ = -1;
};

// Writes `bytes` to a new file beside `path`, flushes it to disk, and renames it over `path`. On
// any failure the new file is removed and `path` is as it was.
void write_file_whole(const std::filesystem::path& path, std::string_view bytes);

// What replacing `path` replaces: a link stays a link, and what it points to is replaced. Error
// book where that is a device or a pipe, which a rename would replace by a file.
std::filesystem::path replaced_by(const std::filesystem::path& path);

// Gives a file (or folder) that is whole by now its name, in the same folder, for good. Error book
// where something is there by now: it is never replaced.
void give_name(const std::filesystem::path& whole, const std::filesystem::path& name);

// Makes names just given or taken away in the folder of `file` last through a power cut. A folder
// that cannot be flushed (some network file systems) is no failure.
void flush_folder_of(const std::filesystem::path& file);

}  // namespace trencher
