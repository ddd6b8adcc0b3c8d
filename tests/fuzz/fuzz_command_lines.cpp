// Command lines, one a line, run in the process on a throw-away book. Whatever they say: a status
// from 0 to 3; one sentence and nothing changed where they are refused; text that a terminal can
// show, or JSON; and a book that is whole.
#include <unistd.h>

#include <map>

#include "book.h"
#include "book/verify.h"
#include "domain/json.h"
#include "domain/text.h"

using namespace trencher;

namespace {

constexpr std::size_t most_commands = 6;
using Files = std::map<std::string, std::string>;

// What a command may not be let have: it could lie outside the folder, or begin this program anew.
bool leads_out(std::string_view word) {
  if (word == "tour") return true;
  if (word.find("..") != std::string_view::npos || word.starts_with('/')) return true;
  const bool slash = word.find('/') != std::string_view::npos;
  if (slash && word.starts_with('-')) return true;
  for (const char before : {'=', ',', ';', ' ', '/'})
    if (word.find(std::string{before, '/'}) != std::string_view::npos) return true;
  return false;
}

class Workplace {
 public:
  Workplace() {
    fuzz::lay_inputs(scratch_.path());
    Inside inside(scratch_.path());
    Instant now = fuzz::begin;
    std::istringstream lines(fuzz::scenario);
    for (std::string line; std::getline(lines, line);) {
      if (line.empty()) continue;
      const fuzz::Said said = fuzz::run(fuzz::words_of(line), now += std::chrono::hours(20));
      fuzz::demand(said.status <= 1, "the scenario runs", line + ": " + said.err);
    }
    fuzz::demand(fuzz::run({"export", "book.jsonl"}, now).status == 0, "it is exported");
    fuzz::put("photo.jpg", fuzz::bytes_of(TRENCHER_SOURCE_DIR "/docs/demo-board.jpg"));
    before_ = files();
  }

  void run(const std::vector<std::vector<std::string>>& commands) {
    Inside inside(scratch_.path());
    Instant now = fuzz::present;
    bool changed = false;
    for (const auto& words : commands) {
      const Files had = files();
      const fuzz::Said said = fuzz::run(words, now += Seconds(60));
      see(words, said);
      if (said.status > 1)
        fuzz::demand(files() == had, "what is refused changes nothing", join(words, " "));
      else
        changed = changed || files() != had;
    }
    if (!changed) return;
    const Files now_there = files();
    if (now_there.at("book.db") != before_.at("book.db")) {
      book::Book book = book::Book::open("book.db");
      const book::Verdict verdict = book::verify(book);
      fuzz::demand(verdict.whole(), "the book is whole",
                   verdict.whole() ? "" : verdict.problems.front());
    }
    restore(now_there);
  }

 private:
  class Inside {
   public:
    explicit Inside(const std::filesystem::path& path) : back_(std::filesystem::current_path()) {
      std::filesystem::current_path(path);
    }
    ~Inside() { std::filesystem::current_path(back_); }

   private:
    std::filesystem::path back_;
  };

  static Files files() {
    Files out;
    for (const auto& item : std::filesystem::recursive_directory_iterator("."))
      out[item.path().lexically_normal().string()] =
          item.is_regular_file() ? fuzz::bytes_of(item.path()) : "a folder";
    return out;
  }

  void restore(const Files& there) {
    for (const auto& item : std::filesystem::directory_iterator("."))
      if (!before_.contains(item.path().filename())) std::filesystem::remove_all(item.path());
    for (const auto& [name, bytes] : before_)
      if (const auto now = there.find(name); now == there.end() || now->second != bytes)
        fuzz::put(name, bytes);
  }

  static void see(const std::vector<std::string>& words, const fuzz::Said& said) {
    const std::string line = join(words, " ");
    fuzz::demand(said.status >= 0 && said.status <= 3, "a status is 0 to 3", line);
    for (const std::string* text : {&said.out, &said.err}) {
      fuzz::demand(is_utf8(*text), "what is printed is UTF-8", line);
      // A table's lines end in CR LF, a completion stands before a tab.
      fuzz::demand(fuzz::is_plain(*text, "\r\n\t"), "what is printed has no control character",
                   line);
    }
    if (said.status == 2 && said.err.empty()) {
      fuzz::demand(line.find("import") != std::string::npos &&
                       (said.out.find("Nothing was written") != std::string::npos ||
                        said.out.find("\"written\": false") != std::string::npos),
                   "what an import lists is no success", line);
    } else if (said.status > 1) {
      fuzz::demand(
          said.err.starts_with("trencher:") && said.err.size() < 10'000 &&
              (said.err.ends_with(".\n") || said.err.ends_with("?\n") || said.err.ends_with(")\n")),
          "a refusal is a sentence", line + ": " + said.err);
    } else if (!said.out.empty() && said.out.front() == '{') {
      fuzz::accepted([&] { return Json::parse(said.out, true); });
    }
  }

  fuzz::Scratch scratch_;
  Files before_;
};

Workplace& workplace() {
  static Workplace out;
  return out;
}

}  // namespace

// Made before the first input, whose time would count.
extern "C" int LLVMFuzzerInitialize(int*, char***) {
  workplace();
  return 0;
}

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  std::vector<std::vector<std::string>> commands;
  fuzz::Bytes in(data, size);
  while (!in.empty() && commands.size() < most_commands) {
    commands.push_back(fuzz::words_of(in.line()));
    for (const std::string& word : commands.back())
      if (leads_out(word) || word.find('\0') != word.npos) return 0;
    if (commands.back().empty()) commands.pop_back();
  }
  workplace().run(commands);
  return 0;
}
