#include "domain/atomic_file.h"

#include <fcntl.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <string>
#include <utility>
#include <vector>

#include "domain/error.h"

namespace trencher {
namespace {

[[noreturn]] void fail(const std::filesystem::path& path, int reason) {
  throw Error::book("Cannot write " + path.string() + ": " + std::strerror(reason) + ".");
}

void check(bool done, const std::filesystem::path& path) {
  if (!done) fail(path, errno);
}

// The new file: gone again unless it was renamed.
class NewFile {
 public:
  explicit NewFile(const std::filesystem::path& target) : target_(target) {
    const std::string pattern = target.string() + ".XXXXXX";
    name_.assign(pattern.begin(), pattern.end());
    name_.push_back('\0');
    descriptor_ = ::mkostemp(name_.data(), O_CLOEXEC);  // mode 0600
    check(descriptor_ >= 0, target_);
  }
  NewFile(const NewFile&) = delete;
  NewFile& operator=(const NewFile&) = delete;
  ~NewFile() {
    if (descriptor_ >= 0) ::close(descriptor_);
    if (!renamed_) ::unlink(name_.data());
  }

  void write(std::string_view bytes) {
    while (!bytes.empty()) {
      const ssize_t taken = ::write(descriptor_, bytes.data(), bytes.size());
      if (taken < 0 && errno == EINTR) continue;
      check(taken >= 0, target_);
      bytes.remove_prefix(static_cast<std::size_t>(taken));
    }
    check(::fsync(descriptor_) == 0, target_);
    // Some file systems report a failed write only here.
    check(::close(std::exchange(descriptor_, -1)) == 0, target_);
  }

  void rename() {
    check(::rename(name_.data(), target_.c_str()) == 0, target_);
    renamed_ = true;
  }

 private:
  const std::filesystem::path& target_;
  std::vector<char> name_;
  int descriptor_ = -1;
  bool renamed_ = false;
};

// Makes the rename last through a power cut. By now the file is whole and in place, so that a
// folder that cannot be flushed (some network file systems) is no failure.
void flush_folder(const std::filesystem::path& file) {
  const std::filesystem::path folder = file.has_parent_path() ? file.parent_path() : ".";
  const int descriptor = ::open(folder.c_str(), O_RDONLY | O_DIRECTORY | O_CLOEXEC);
  if (descriptor < 0) return;
  ::fsync(descriptor);
  ::close(descriptor);
}

}  // namespace

void write_file_whole(const std::filesystem::path& path, std::string_view bytes) {
  // A link stays a link: what it points to is replaced.
  std::error_code missing;
  const std::filesystem::path there = std::filesystem::canonical(path, missing);
  const std::filesystem::path& target = missing ? path : there;
  // A rename would replace a device or a pipe by a file.
  if (!missing && !std::filesystem::is_regular_file(target))
    throw Error::book("Cannot write " + path.string() + ": it is not an ordinary file.");
  NewFile file(target);
  file.write(bytes);
  file.rename();
  flush_folder(target);
}

}  // namespace trencher
