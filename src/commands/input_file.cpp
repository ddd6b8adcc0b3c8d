#include "commands/input_file.h"

#include <fmt/format.h>

#include <array>
#include <cerrno>
#include <cstring>
#include <fstream>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

InputFile read_input(const std::filesystem::path& path, std::size_t most_megabytes) {
  InputFile out;
  const std::string shown = checked_text(path.string(), "The file's name");
  out.name = checked_text(path.filename().string(), "The file's name");
  std::error_code why;
  if (std::filesystem::is_directory(path, why))
    throw Error::request(fmt::format("{} is a folder; a file is needed.", shown));
  const std::size_t most = most_megabytes * 1'000'000;
  std::ifstream in(path, std::ios::binary);
  if (!in) throw Error::request(fmt::format("{} cannot be read: {}.", shown, std::strerror(errno)));
  std::array<char, 65536> part;
  do {
    in.read(part.data(), part.size());
    out.bytes.append(part.data(), static_cast<std::size_t>(in.gcount()));
  } while (in && out.bytes.size() <= most);
  if (in.bad()) throw Error::request(fmt::format("{} cannot be read to its end.", shown));
  if (out.bytes.size() > most)
    throw Error::request(
        fmt::format("{} is larger than {} MB, the most that is taken.", shown, most_megabytes));
  if (out.bytes.empty()) throw Error::request(fmt::format("{} is empty.", shown));
  return out;
}

}  // namespace trencher::commands
