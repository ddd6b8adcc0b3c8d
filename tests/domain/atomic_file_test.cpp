#include "domain/atomic_file.h"

#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

#include <catch2/catch.hpp>
#include <csignal>
#include <fstream>
#include <iterator>

#include "refusal.h"

using namespace trencher;
namespace fs = std::filesystem;

namespace {

// A new folder, gone with its contents at the end.
class Folder {
 public:
  Folder() {
    std::string pattern = (fs::temp_directory_path() / "trencher-XXXXXX").string();
    path_ = ::mkdtemp(pattern.data());
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;
  ~Folder() { fs::remove_all(path_); }
  fs::path operator/(const std::string& name) const { return path_ / name; }
  std::ptrdiff_t files() const {
    return std::distance(fs::directory_iterator(path_), fs::directory_iterator());
  }

 private:
  fs::path path_;
};

std::string contents(const fs::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

}  // namespace

TEST_CASE("atomic file: the bytes stand whole and alone under the name") {
  const Folder folder;
  const std::string bytes(3'000'000, '\xFF');
  write_file_whole(folder / "a.pdf", bytes);
  CHECK(contents(folder / "a.pdf") == bytes);
  write_file_whole(folder / "a.pdf", std::string_view("short\0er", 8));
  CHECK(contents(folder / "a.pdf") == std::string("short\0er", 8));
  write_file_whole(folder / "a.pdf", "");
  CHECK(fs::file_size(folder / "a.pdf") == 0);
  CHECK(folder.files() == 1);
}

TEST_CASE("atomic file: only its owner may read what is written") {
  const Folder folder;
  const mode_t before = ::umask(0);
  write_file_whole(folder / "a", "x");
  ::umask(before);
  CHECK(fs::status(folder / "a").permissions() == (fs::perms::owner_read | fs::perms::owner_write));
}

TEST_CASE("atomic file: what cannot be written is named with the reason") {
  const Folder folder;
  const std::string missing = folder / "no such folder/a";
  CHECK(refusal([&] { write_file_whole(missing, "x"); }) ==
        "book: Cannot write " + missing + ": No such file or directory.");
  fs::create_directory(folder / "d");
  CHECK(refusal([&] { write_file_whole(folder / "d", "x"); }) ==
        "book: Cannot write " + (folder / "d").string() + ": it is not an ordinary file.");
  CHECK(refusal([&] { write_file_whole("/dev/full", "x"); }) ==
        "book: Cannot write /dev/full: it is not an ordinary file.");
  CHECK(folder.files() == 1);
}

TEST_CASE("atomic file: a failed write leaves the old file as it was") {
  const Folder folder;
  write_file_whole(folder / "a", "old");
  // A limit on the size of files stands for the full disk: the first part is written, the rest
  // fails.
  rlimit before{};
  REQUIRE(::getrlimit(RLIMIT_FSIZE, &before) == 0);
  const auto handler = std::signal(SIGXFSZ, SIG_IGN);
  const rlimit small{4096, before.rlim_max};
  REQUIRE(::setrlimit(RLIMIT_FSIZE, &small) == 0);
  const std::string refused =
      refusal([&] { write_file_whole(folder / "a", std::string(10'000, 'x')); });
  ::setrlimit(RLIMIT_FSIZE, &before);
  std::signal(SIGXFSZ, handler);
  CHECK(refused == "book: Cannot write " + (folder / "a").string() + ": File too large.");
  CHECK(contents(folder / "a") == "old");
  CHECK(folder.files() == 1);
}

TEST_CASE("atomic file: a file that cannot be made is named") {
  const Folder folder;
  // The name itself fits, that of the new file beside it does not.
  const std::string name(252, 'n');
  std::ofstream(folder / name) << "old";
  CHECK(
      refusal([&] { write_file_whole(folder / name, "new"); }).ends_with(": File name too long."));
  CHECK(contents(folder / name) == "old");
}
