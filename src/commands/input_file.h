// A file that the user names, read whole or in parts.
#pragma once

#include <cstddef>
#include <cstdint>
#include <cstdio>
#include <filesystem>
#include <functional>
#include <memory>
#include <string>
#include <string_view>

#include "domain/error.h"

namespace trencher::commands {

inline constexpr std::size_t most_paper_megabytes = 10;  // a scanned paper of a few pages

struct InputFile {
  std::string name;   // without folders, checked
  std::string bytes;  // never none
};

// Error::request naming the file where it cannot be read, is a device, a pipe that nobody writes
// to, empty, or over `most_megabytes`.
InputFile read_input(const std::filesystem::path& path, std::size_t most_megabytes);

// A file too large to be held, which may be read more than once. What comes through a pipe is kept
// in a temporary file without a name.
class PartedFile {
 public:
  // Errors as read_input's.
  PartedFile(const std::filesystem::path& path, std::size_t most_megabytes);

  const std::string& name() const { return name_; }  // without folders, checked
  std::uint64_t size() const { return size_; }       // bytes, never none

  // From the beginning, as many bytes as there were at first: a logger may still be writing to it.
  // Error::request where there are fewer.
  void each_part(const std::function<void(std::string_view)>& use);

 private:
  struct Closed {
    void operator()(std::FILE* file) const { std::fclose(file); }
  };
  using File = std::unique_ptr<std::FILE, Closed>;
  File demand(std::FILE* opened) const;
  void open_pipe(const std::filesystem::path& path);
  void keep_copy(std::uint64_t most);
  Error not_to_its_end() const;

  std::string shown_, name_;
  File file_;
  std::uint64_t size_ = 0;
};

}  // namespace trencher::commands
