#include "commands/input_file.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <poll.h>
#include <unistd.h>

#include <array>
#include <cerrno>
#include <cstring>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

std::string_view read_part(std::FILE* file, std::array<char, 65536>& buffer) {
  return {buffer.data(), std::fread(buffer.data(), 1, buffer.size(), file)};
}

constexpr int writer_milliseconds = 2000;  // within which somebody begins to write to a pipe

}  // namespace

PartedFile::PartedFile(const std::filesystem::path& path, std::size_t most_megabytes)
    : shown_(checked_text(path.string(), "The file's name")),
      name_(checked_text(path.filename().string(), "The file's name")) {
  std::error_code why;
  const std::filesystem::file_status there = std::filesystem::status(path, why);
  if (std::filesystem::is_directory(there))
    throw Error::request(fmt::format("{} is a folder; a file is needed.", shown_));
  if (std::filesystem::is_other(there) && !std::filesystem::is_fifo(there))
    throw Error::request(fmt::format("{} is a device; a file is needed.", shown_));
  if (std::filesystem::is_fifo(there))
    open_pipe(path);
  else
    file_ = demand(std::fopen(path.c_str(), "rb"));
  const std::uint64_t most = most_megabytes * std::uint64_t{1'000'000};
  size_ = std::filesystem::file_size(path, why);
  if (why || size_ == 0) keep_copy(most);  // a pipe, or a file that does not tell its size
  if (size_ > most)
    throw Error::request(
        fmt::format("{} is larger than {} MB, the most that is taken.", shown_, most_megabytes));
  if (size_ == 0) throw Error::request(fmt::format("{} is empty.", shown_));
}

PartedFile::File PartedFile::demand(std::FILE* opened) const {
  if (!opened)
    throw Error::request(fmt::format("{} cannot be read: {}.", shown_, std::strerror(errno)));
  return File(opened);
}

// An ordinary opening would wait for a writer, for ever where there is none.
void PartedFile::open_pipe(const std::filesystem::path& path) {
  const int descriptor = ::open(path.c_str(), O_RDONLY | O_NONBLOCK | O_CLOEXEC);
  file_ = demand(descriptor < 0 ? nullptr : ::fdopen(descriptor, "rb"));
  pollfd waiting{descriptor, POLLIN, 0};
  char first = 0;
  // Without a writer a read comes to the end at once; with one that is slow it would have to wait.
  if (::poll(&waiting, 1, writer_milliseconds) == 0) {
    const ssize_t taken = ::read(descriptor, &first, 1);
    if (taken == 0)
      throw Error::request(fmt::format("{} is a pipe that nothing writes to.", shown_));
    if (taken == 1) std::ungetc(static_cast<unsigned char>(first), file_.get());
  }
  ::fcntl(descriptor, F_SETFL, ::fcntl(descriptor, F_GETFL) & ~O_NONBLOCK);
}

void PartedFile::keep_copy(std::uint64_t most) {
  File copy = demand(std::tmpfile());
  std::array<char, 65536> buffer;
  size_ = 0;
  for (std::string_view part; size_ <= most; size_ += part.size()) {
    part = read_part(file_.get(), buffer);
    if (part.empty()) break;
    if (std::fwrite(part.data(), 1, part.size(), copy.get()) != part.size())
      throw Error::request(
          fmt::format("{} cannot be kept for reading: {}.", shown_, std::strerror(errno)));
  }
  if (std::ferror(file_.get())) throw not_to_its_end();
  file_ = std::move(copy);
}

void PartedFile::each_part(const std::function<void(std::string_view)>& use) {
  std::rewind(file_.get());
  std::array<char, 65536> buffer;
  for (std::uint64_t left = size_; left > 0;) {
    const std::string_view part = read_part(file_.get(), buffer).substr(0, left);
    if (part.empty()) throw not_to_its_end();
    left -= part.size();
    use(part);
  }
}

Error PartedFile::not_to_its_end() const {
  return Error::request(fmt::format("{} cannot be read to its end.", shown_));
}

InputFile read_input(const std::filesystem::path& path, std::size_t most_megabytes) {
  PartedFile file(path, most_megabytes);
  InputFile out{file.name(), {}};
  file.each_part([&](std::string_view part) { out.bytes += part; });
  return out;
}

}  // namespace trencher::commands
