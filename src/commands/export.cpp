#include <fcntl.h>
#include <fmt/format.h>
#include <unistd.h>

#include <cerrno>
#include <cstdlib>
#include <cstring>
#include <fstream>
#include <optional>

#include "book/transfer.h"
#include "commands/command.h"
#include "commands/copies.h"
#include "commands/output_file.h"
#include "commands/papers.h"
#include "domain/error.h"
#include "domain/text.h"

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

Json write_papers(Call& call, PaperFolder& folder) {
  const std::size_t count = folder.write(call);
  if (!call.json())
    call.say(fmt::format("Papers: {} in {}; papers.csv lists them.",
                         count_of(static_cast<std::int64_t>(count), "file"),
                         folder.path().string()));
  return Json::object()
      .set("folder", folder.path().string())
      .set("papers", static_cast<std::int64_t>(count));
}

int export_papers(Call& call, const std::string& file, const std::string& papers) {
  if (!file.empty())
    throw Error::request("--papers does not go with '-'; name a FILE or leave it out.");
  PaperFolder folder(papers);
  const Json out = write_papers(call, folder);
  if (!call.json()) call.say_list("Mind:", mind_copy);
  return call.done(out);
}

}  // namespace

int export_book(Call& call) {
  std::string file, papers;
  bool replace = false;
  call.word("FILE", file, "to write to; - writes to the output");
  call.flag("--replace", replace, "write over a file that is there");
  call.option("--papers", "FOLDER", papers,
              "a new folder for every paper and photograph that is kept, byte for byte, with a "
              "list of them; FILE may then be left out");
  call.parse();
  if (!papers.empty() && (file.empty() || file == "-")) return export_papers(call, file, papers);
  call.need(file, "FILE", "File to write to");
  if (file == "-") {
    if (call.json())
      throw Error::request("--json and '-' both write to the output; give a FILE or one of them.");
    book::export_lines(call.book(), [&](std::string_view line) { call.out() << line << '\n'; });
    return 0;
  }
  refuse_existing(call, file, replace);
  std::optional<PaperFolder> folder;
  if (!papers.empty()) folder.emplace(papers);
  Draft draft(file);
  std::string last;
  book::export_lines(call.book(), [&](std::string_view line) {
    draft.line(line);
    last = line;
  });
  // Before the file is finished: it is not to be there where they cannot be written.
  Json more = Json::object();
  if (folder) more = write_papers(call, *folder);
  draft.finish(replace);
  const Json trailer = Json::parse(last).at("trailer");
  return report_copy(call, "Export", file, trailer.integer("entries"), trailer.text("last_hash"),
                     mind_copy, more);
}

}  // namespace trencher::commands
