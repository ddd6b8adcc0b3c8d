#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fstream>

#include "book/transfer.h"
#include "commands/command.h"
#include "commands/copies.h"
#include "domain/error.h"

namespace trencher::commands {
namespace {

// A file that is written piece by piece under another name beside its own, which it gets when it is
// whole; until then it is gone with this object. (domain/atomic_file.h takes all its bytes at once,
// and a vault may hold more than memory.)
class Draft {
 public:
  explicit Draft(const std::filesystem::path& target)
      : target_(target), name_(target.string() + ".XXXXXX") {
    const int descriptor = ::mkostemp(name_.data(), O_CLOEXEC);  // mode 0600
    require(descriptor >= 0);
    ::close(descriptor);
    out_.open(name_, std::ios::binary);
    require(out_.is_open());
  }
  ~Draft() { ::unlink(name_.c_str()); }
  Draft(const Draft&) = delete;
  Draft& operator=(const Draft&) = delete;

  void line(std::string_view text) {
    out_ << text << '\n';
    require(out_.good());
  }

  void finish(bool replace) {
    out_.close();
    require(!out_.fail());
    const int descriptor = ::open(name_.c_str(), O_RDONLY | O_CLOEXEC);
    require(descriptor >= 0);
    const bool flushed = ::fsync(descriptor) == 0;
    ::close(descriptor);
    require(flushed);
    // Unlike rename, link never replaces what has appeared there meanwhile.
    require((replace ? ::rename(name_.c_str(), target_.c_str())
                     : ::link(name_.c_str(), target_.c_str())) == 0);
  }

 private:
  void require(bool done) const {
    if (!done)
      throw Error::book(
          fmt::format("Cannot write {}: {}.", target_.string(), std::strerror(errno)));
  }

  std::filesystem::path target_;
  std::string name_;
  std::ofstream out_;
};

void refuse_existing(const std::filesystem::path& file, bool replace) {
  std::error_code why;
  if (!std::filesystem::exists(std::filesystem::symlink_status(file, why))) return;
  if (!replace)
    throw Error::request(
        fmt::format("{} exists already; --replace writes over it.", file.string()));
  if (!std::filesystem::is_regular_file(std::filesystem::symlink_status(file, why)))
    throw Error::request(
        fmt::format("{} is not an ordinary file, so it is not replaced.", file.string()));
}

}  // namespace

int export_book(Call& call) {
  std::string file;
  bool replace = false;
  call.word("FILE", file, "to write to; - writes to the output");
  call.flag("--replace", replace, "write over a file that is there");
  call.parse();
  call.need(file, "FILE", "File to write to");
  if (file == "-") {
    if (call.json())
      throw Error::request("--json and '-' both write to the output; give a FILE or one of them.");
    book::export_lines(call.book(), [&](std::string_view line) { call.out() << line << '\n'; });
    return 0;
  }
  refuse_existing(file, replace);
  Draft draft(file);
  std::string last;
  book::export_lines(call.book(), [&](std::string_view line) {
    draft.line(line);
    last = line;
  });
  draft.finish(replace);
  const Json trailer = Json::parse(last).at("trailer");
  return report_copy(call, "Export", file, trailer.integer("entries"), trailer.text("last_hash"),
                     mind_copy);
}

}  // namespace trencher::commands
