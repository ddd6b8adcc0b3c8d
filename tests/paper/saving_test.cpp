#include <sys/resource.h>
#include <sys/stat.h>

#include <catch2/catch.hpp>
#include <csignal>

#include "domain/atomic_file.h"
#include "domain/error.h"
#include "paper/document.h"
#include "tools.h"

using namespace trencher;
using namespace trencher::paper;
using Catch::Matchers::Message;

namespace {

// No file of this process may grow past that size: writing fails half-way, as on a full disk.
class SmallDisk {
 public:
  explicit SmallDisk(rlim_t bytes) : handler_(std::signal(SIGXFSZ, SIG_IGN)) {
    ::getrlimit(RLIMIT_FSIZE, &before_);
    const rlimit small{bytes, before_.rlim_max};
    ::setrlimit(RLIMIT_FSIZE, &small);
  }
  ~SmallDisk() {
    ::setrlimit(RLIMIT_FSIZE, &before_);
    std::signal(SIGXFSZ, handler_);
  }
  SmallDisk(const SmallDisk&) = delete;
  SmallDisk& operator=(const SmallDisk&) = delete;

 private:
  void (*handler_)(int);
  rlimit before_{};
};

mode_t mode_of(const std::filesystem::path& path) {
  struct stat found {};
  ::stat(path.c_str(), &found);
  return found.st_mode & 0777;
}

// The message and kind of the refusal; empty where there was none.
std::string refusal(const std::filesystem::path& path, std::string_view bytes) {
  try {
    write_file_whole(path, bytes);
  } catch (const Error& error) {
    CHECK(error.kind() == Error::Kind::book);
    return error.what();
  }
  return "";
}

}  // namespace

TEST_CASE("A file is written whole and for its owner alone") {
  const Folder folder;
  const std::string bytes("a\0b\n", 4);
  write_file_whole(folder / "f", bytes);
  CHECK(read_file(folder / "f") == bytes);
  CHECK(mode_of(folder / "f") == 0600);
  write_file_whole(folder / "f", "shorter");
  CHECK(read_file(folder / "f") == "shorter");
  CHECK(folder.names() == std::vector<std::string>{"f"});
}

TEST_CASE("A disk that fills up leaves the old file and nothing beside it") {
  const Folder folder;
  write_file_whole(folder / "f", "old");
  const std::string large(100000, 'x');
  std::string said;
  {
    const SmallDisk disk(4096);
    said = refusal(folder / "f", large);
  }
  CHECK(said == "Cannot write " + (folder / "f").string() + ": File too large.");
  CHECK(read_file(folder / "f") == "old");
  CHECK(folder.names() == std::vector<std::string>{"f"});
}

TEST_CASE("A disk that fills up leaves no file where there was none") {
  const Folder folder;
  Document document(a4, "", {});
  document.add_page();
  document.text({20, 20}, "x", {});
  {
    const SmallDisk disk(4096);
    CHECK_THROWS_AS(document.save(folder / "f.pdf"), Error);
  }
  CHECK(folder.names().empty());
}

TEST_CASE("A folder that is not there is named with the reason") {
  const Folder folder;
  const auto path = folder / "none" / "f";
  CHECK(refusal(path, "x") == "Cannot write " + path.string() + ": No such file or directory.");
}

TEST_CASE("A folder that takes no files leaves the target alone") {
  // /proc refuses new files even to the superuser.
  CHECK(refusal("/proc/f", "x").starts_with("Cannot write /proc/f: "));
}

TEST_CASE("A folder or a device is not replaced by a file") {
  const Folder folder;
  std::filesystem::create_directory(folder / "d");
  CHECK(refusal(folder / "d", "x") ==
        "Cannot write " + (folder / "d").string() + ": it is not an ordinary file.");
  CHECK(refusal("/dev/null", "x") == "Cannot write /dev/null: it is not an ordinary file.");
  CHECK(std::filesystem::is_character_file("/dev/null"));
}

TEST_CASE("A link stays a link and what it points to is replaced") {
  const Folder folder;
  write_file_whole(folder / "real", "old");
  std::filesystem::create_symlink(folder / "real", folder / "link");
  write_file_whole(folder / "link", "new");
  CHECK(std::filesystem::is_symlink(folder / "link"));
  CHECK(read_file(folder / "real") == "new");
}

TEST_CASE("A name without a folder is written where the program runs") {
  const Folder folder;
  const auto before = std::filesystem::current_path();
  std::filesystem::current_path(folder / "");
  write_file_whole("bare", "x");
  std::filesystem::current_path(before);
  CHECK(read_file(folder / "bare") == "x");
}
