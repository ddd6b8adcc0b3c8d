#include "commands/recall_folder.h"

#include <fmt/format.h>

#include <algorithm>
#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fstream>

#include "commands/choices.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

namespace fs = std::filesystem;

constexpr std::string_view summary = "summary.txt";

bool is_notice(const std::string& name) {
  if (!name.starts_with("notice-") || !name.ends_with(".pdf")) return false;
  return std::all_of(name.begin(), name.end() - 4, [](char c) {
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || c == '-';
  });
}

bool is_ours(const std::string& name) {
  return name == summary || name == "pieces.csv" || name == "people.csv" ||
         name == "shop-notice.pdf" || is_notice(name);
}

bool summary_is_ours(const fs::path& file) {
  std::ifstream in(file);
  std::string line;
  std::getline(in, line);
  return line == recall_head || line == practice_head;
}

// What an earlier recall left there.
std::vector<std::string> files_of_earlier(const fs::path& folder) {
  std::vector<std::string> out;
  for (const fs::directory_entry& file : fs::directory_iterator(folder)) {
    const std::string name = file.path().filename().string();
    if (!is_ours(name) || !fs::is_regular_file(file.symlink_status()))
      throw Error::request(
          fmt::format("-o '{}' holds '{}', which is no file of a recall, so nothing there is "
                      "replaced; name another folder.",
                      folder.string(), name));
    out.push_back(name);
  }
  if (!out.empty() && !summary_is_ours(folder / summary))
    throw Error::request(
        fmt::format("-o '{}' holds files that no recall wrote, so nothing there is replaced; name "
                    "another folder.",
                    folder.string()));
  return out;
}

[[noreturn]] void cannot(const char* what, const fs::path& path, const std::string& why) {
  throw Error::book(fmt::format("Cannot {} {}: {}.", what, path.string(), why));
}

}  // namespace

RecallFolder::RecallFolder(const std::string& typed) : path_(typed) {
  if (!path_.has_filename() && path_.has_parent_path()) path_ = path_.parent_path();  // "out/"
  std::error_code missing;
  const fs::file_status there = fs::status(path_, missing);
  if (fs::exists(there)) {
    if (!fs::is_directory(there))
      throw Error::request(fmt::format("-o '{}' is no folder.", path_.string()));
    try {
      old_ = files_of_earlier(path_);
    } catch (const fs::filesystem_error& failure) {
      cannot("read", path_, failure.code().message());
    }
  }
  std::string pattern = fs::absolute(path_).lexically_normal().string() + ".XXXXXX";
  if (!::mkdtemp(pattern.data())) cannot("make", path_, std::strerror(errno));  // mode 0700
  staged_ = pattern;
}

RecallFolder::~RecallFolder() {
  std::error_code ignored;
  fs::remove_all(staged_, ignored);
}

fs::path RecallFolder::add(const std::string& name) {
  names_.push_back(name);
  return staged_ / name;
}

void RecallFolder::write(const std::string& name, std::string_view text) {
  write_file_whole(add(name), text);
}

void RecallFolder::finish() {
  try {
    for (const std::string& name : names_)
      fs::permissions(staged_ / name, fs::perms::owner_read | fs::perms::owner_write);
    if (!fs::exists(path_)) {
      fs::rename(staged_, path_);
      flush_folder_of(fs::absolute(path_));
      return;
    }
    fs::permissions(path_, fs::perms::owner_all);
    for (const std::string& name : names_) fs::rename(staged_ / name, path_ / name);
    for (const std::string& name : old_)
      if (std::find(names_.begin(), names_.end(), name) == names_.end()) fs::remove(path_ / name);
    flush_folder_of(path_ / summary);
  } catch (const fs::filesystem_error& failure) {
    cannot("write", path_, failure.code().message());
  }
}

std::string notice_name(std::size_t number, const std::string& person) {
  constexpr std::size_t longest = 40;
  std::string name = slug(person).substr(0, longest);
  while (name.ends_with('-')) name.pop_back();
  return fmt::format("notice-{:03}{}{}.pdf", number, name.empty() ? "" : "-", name);
}

}  // namespace trencher::commands
