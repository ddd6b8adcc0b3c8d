#include "domain/atomic_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdio>
#include <cstdlib>
#include <cstring>
#include <utility>

#include "domain/error.h"

namespace trencher {
namespace {

constexpr std::size_t most_waiting = 1 << 16;  // bytes gathered before they are handed on

void check(bool done, const std::filesystem::path& path) {
  if (!done) throw Error::book("Cannot write " + path.string() + ": " + std::strerror(errno) + ".");
}

}  // namespace

WholeFile::WholeFile(const std::filesystem::path& target)
    : target_(target), name_(target.string() + ".XXXXXX") {
  descriptor_ = ::mkostemp(name_.data(), O_CLOEXEC);  // mode 0600
  check(descriptor_ >= 0, target_);
}

WholeFile::~WholeFile() {
  if (descriptor_ >= 0) ::close(descriptor_);
  if (!name_.empty()) ::unlink(name_.c_str());
}

void WholeFile::write(std::string_view bytes) {
  waiting_ += bytes;
  if (waiting_.size() >= most_waiting) flush();
}

void WholeFile::flush() {
  for (std::string_view bytes = waiting_; !bytes.empty();) {
    const ssize_t taken = ::write(descriptor_, bytes.data(), bytes.size());
    if (taken < 0 && errno == EINTR) continue;
    check(taken >= 0, target_);
    bytes.remove_prefix(static_cast<std::size_t>(taken));
  }
  waiting_.clear();
}

void WholeFile::flush_to_disk() {
  flush();
  check(::fsync(descriptor_) == 0, target_);
  // Some file systems report a failed write only here.
  check(::close(std::exchange(descriptor_, -1)) == 0, target_);
}

void WholeFile::finish_replacing() {
  flush_to_disk();
  check(::rename(name_.c_str(), target_.c_str()) == 0, target_);
  name_.clear();
  flush_folder_of(target_);
}

void WholeFile::finish_as_new() {
  flush_to_disk();
  give_name(name_, target_);
  name_.clear();
}

void give_name(const std::filesystem::path& whole, const std::filesystem::path& name) {
  const auto lacking = [] {
    return errno == EINVAL || errno == ENOSYS || errno == EPERM || errno == EOPNOTSUPP;
  };
  bool named = ::renameat2(AT_FDCWD, whole.c_str(), AT_FDCWD, name.c_str(), RENAME_NOREPLACE) == 0;
  if (!named && lacking()) {  // old network file systems
    named = ::link(whole.c_str(), name.c_str()) == 0;
    if (named) ::unlink(whole.c_str());
    // A stick may have neither; then what appears there in this very moment would be replaced.
    if (!named && lacking()) {
      std::error_code why;
      errno = EEXIST;
      named = !std::filesystem::exists(std::filesystem::symlink_status(name, why)) &&
              ::rename(whole.c_str(), name.c_str()) == 0;
    }
  }
  check(named, name);
  flush_folder_of(name);
}

void flush_folder_of(const std::filesystem::path& file) {
  const std::filesystem::path folder = file.has_parent_path() ? file.parent_path() : ".";
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;
  ::fsync(descriptor);
  ::close(descriptor);
}

std::filesystem::path replaced_by(const std::filesystem::path& path) {
  std::error_code missing;
  std::filesystem::path there = std::filesystem::canonical(path, missing);
  if (missing) return path;
  if (!std::filesystem::is_regular_file(there))
    throw Error::book("Cannot write " + path.string() + ": it is not an ordinary file.");
  return there;
}

void write_file_whole(const std::filesystem::path& path, std::string_view bytes) {
  WholeFile file(replaced_by(path));
  file.write(bytes);
  file.finish_replacing();
}

}  // namespace trencher
