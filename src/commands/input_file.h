// A file that the user names, read whole.
#pragma once

#include <cstddef>
#include <filesystem>
#include <string>

namespace trencher::commands {

struct InputFile {
  std::string name;   // without folders, checked
  std::string bytes;  // never none
};

// Error::request naming the file where it cannot be read, is empty, or is over `most_megabytes`.
InputFile read_input(const std::filesystem::path& path, std::size_t most_megabytes);

}  // namespace trencher::commands
