// A folder of a test's own, gone with it; and calls made as somebody else, or with no room on the
// disk.
#pragma once

#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

#include <algorithm>
#include <catch2/catch.hpp>
#include <cstdlib>
#include <filesystem>
#include <fstream>
#include <iterator>
#include <string>
#include <string_view>
#include <vector>

#include "../domain/refusal.h"

class Folder {
 public:
  Folder() {
    std::string name = (std::filesystem::temp_directory_path() / "trencher-test-XXXXXX").string();
    path_ = ::mkdtemp(name.data());
  }
  ~Folder() {
    std::error_code ignored;
    ::chmod(path_.c_str(), 0700);
    std::filesystem::remove_all(path_, ignored);
  }
  Folder(const Folder&) = delete;
  Folder& operator=(const Folder&) = delete;

  const std::filesystem::path& path() const { return path_; }
  std::filesystem::path operator/(std::string_view name) const { return path_ / name; }
  // What is in it, by name.
  std::vector<std::string> names() const {
    std::vector<std::string> out;
    for (const auto& file : std::filesystem::directory_iterator(path_))
      out.push_back(file.path().filename().string());
    std::sort(out.begin(), out.end());
    return out;
  }

 private:
  std::filesystem::path path_;
};

inline std::string bytes_of(const std::filesystem::path& path) {
  std::ifstream in(path, std::ios::binary);
  return {std::istreambuf_iterator<char>(in), {}};
}

inline void put_bytes(const std::filesystem::path& path, std::string_view bytes) {
  std::ofstream(path, std::ios::binary)
      .write(bytes.data(), static_cast<std::streamsize>(bytes.size()));
}

inline unsigned mode_of(const std::filesystem::path& path) {
  struct stat about {};
  return ::stat(path.c_str(), &about) == 0 ? about.st_mode & 0777u : 0u;
}

// What `call` refuses with in a process of its own, where `prepare` has taken something away from
// it.
template <typename Prepare, typename Call>
std::string refusal_in_child(const Prepare& prepare, const Call& call) {
  int pipe_ends[2];
  REQUIRE(::pipe(pipe_ends) == 0);
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    prepare();
    const std::string said = refusal(call);
    const ssize_t written = ::write(pipe_ends[1], said.data(), said.size());
    ::_exit(written == static_cast<ssize_t>(said.size()) ? 0 : 1);
  }
  ::close(pipe_ends[1]);
  std::string said;
  char buffer[512];
  for (ssize_t got; (got = ::read(pipe_ends[0], buffer, sizeof buffer)) > 0;)
    said.append(buffer, static_cast<std::size_t>(got));
  ::close(pipe_ends[0]);
  int status = 0;
  ::waitpid(child, &status, 0);
  CHECK(status == 0);
  return said;
}

// As somebody for whom file modes hold (they do not for root).
template <typename Call>
std::string refusal_without_rights(const Call& call) {
  return refusal_in_child(
      [] {
        if (::geteuid() == 0 && ::seteuid(65534) != 0) ::_exit(2);
      },
      call);
}

// With files that cannot grow past `bytes`, as on a full disk.
template <typename Call>
std::string refusal_without_room(std::size_t bytes, const Call& call) {
  return refusal_in_child(
      [bytes] {
        ::signal(SIGXFSZ, SIG_IGN);
        const rlimit limit{bytes, bytes};
        if (::setrlimit(RLIMIT_FSIZE, &limit) != 0) ::_exit(2);
      },
      call);
}
