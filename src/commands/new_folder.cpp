#include "commands/new_folder.h"

#include <fmt/format.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>

#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

namespace fs = std::filesystem;

[[noreturn]] void cannot_write(const fs::path& path, const std::string& why) {
  throw Error::book(fmt::format("Cannot write {}: {}.", path.string(), why));
}

}  // namespace

NewFolder::NewFolder(const std::string& option, const std::string& typed)
    : path_(checked_text(typed, option)) {
  if (!path_.has_filename() && path_.has_parent_path()) path_ = path_.parent_path();  // "out/"
  std::error_code failed;
  const fs::file_status there = fs::symlink_status(path_, failed);
  if (!fs::exists(there)) return;
  if (!fs::is_directory(there))
    throw Error::request(fmt::format("{} '{}' is no folder.", option, path_.string()));
  was_there_ = true;
  if (!fs::is_empty(path_, failed) || failed)
    throw Error::request(
        fmt::format("{} '{}' holds something already; name a new folder.", option, path_.string()));
}

NewFolder::~NewFolder() {
  std::error_code ignored;
  if (!staged_.empty()) fs::remove_all(staged_, ignored);
  if (!written_) return;
  fs::remove_all(path_, ignored);
  if (was_there_) fs::create_directory(path_, ignored);
}

const fs::path& NewFolder::staged() {
  if (staged_.empty()) {
    std::string pattern = fs::absolute(path_).lexically_normal().string() + ".XXXXXX";
    if (!::mkdtemp(pattern.data())) cannot_write(path_, std::strerror(errno));  // mode 0700
    staged_ = pattern;
  }
  return staged_;
}

void NewFolder::finish() {
  std::error_code failed;
  fs::rename(staged(), path_, failed);  // over an empty folder, too
  if (failed) cannot_write(path_, failed.message());
  written_ = true;
  flush_folder_of(fs::absolute(path_));
}

}  // namespace trencher::commands
