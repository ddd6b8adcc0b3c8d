#include <fcntl.h>
#include <fmt/format.h>
#include <spawn.h>
#include <sys/wait.h>
#include <unistd.h>

#include <cstring>
#include <filesystem>
#include <vector>

#include "commands/command.h"
#include "domain/atomic_file.h"
#include "domain/embedded.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr int left_off = 4;  // of the scenario

std::filesystem::path new_folder() {
  std::string path = (std::filesystem::temp_directory_path() / "trencher-tour-XXXXXX").string();
  if (!::mkdtemp(path.data()))
    throw Error::book(fmt::format("No folder for the tour can be made in {}: {}.",
                                  std::filesystem::temp_directory_path().string(),
                                  std::strerror(errno)));
  return path;
}

void lay(const std::filesystem::path& folder, std::string_view name) {
  WholeFile file(folder / std::filesystem::path(name).filename());
  file.write(embedded_text(embedded_commands(), name));
  file.finish_as_new();
}

// The shell that plays the scenario by this very program. Its status, or Error::book.
int play(const std::filesystem::path& folder, const std::filesystem::path& boards, bool pauses,
         bool silent) {
  std::error_code none;
  const std::string self = std::filesystem::read_symlink("/proc/self/exe", none).string();
  if (none) throw Error::book("The tour cannot tell where this program is: /proc is missing.");
  std::vector<std::string> environment{
      "TRENCHER=" + self, "out=" + boards.string(), "kept=" + folder.string(),
      "TRENCHER_BOOK=" + (boards / "book.db").string(), "TZ=Europe/London"};
  if (pauses) environment.emplace_back("pauses=1");
  for (char** variable = environ; *variable; ++variable) {
    const std::string_view text(*variable);
    if (text.starts_with("PATH=") || text.starts_with("HOME=") || text.starts_with("TERM=") ||
        text.starts_with("LANG=") || text.starts_with("LC_"))
      environment.emplace_back(text);
  }
  std::vector<char*> variables;
  for (std::string& variable : environment) variables.push_back(variable.data());
  variables.push_back(nullptr);
  std::string script = (folder / "demo-scenario.sh").string();
  char shell[] = "sh", errors[] = "-eu";
  char* const words[]{shell, errors, script.data(), nullptr};
  posix_spawn_file_actions_t actions;
  posix_spawn_file_actions_init(&actions);
  if (silent) posix_spawn_file_actions_addopen(&actions, STDOUT_FILENO, "/dev/null", O_WRONLY, 0);
  pid_t child = 0;
  const int failed = ::posix_spawn(&child, "/bin/sh", &actions, nullptr, words, variables.data());
  posix_spawn_file_actions_destroy(&actions);
  if (failed != 0)
    throw Error::book(fmt::format("The tour needs /bin/sh: {}.", std::strerror(failed)));
  int status = 0;
  while (::waitpid(child, &status, 0) < 0 && errno == EINTR) {
  }
  return WIFEXITED(status) ? WEXITSTATUS(status) : 3;
}

}  // namespace

int tour(Call& call) {
  call.parse();
  const std::filesystem::path folder = new_folder(), boards = folder / "boards";
  std::filesystem::create_directory(boards);
  for (const char* name : {"docs/demo-scenario.sh", "docs/demo-board.jpg"}) lay(folder, name);
  call.out().flush();
  const int status = play(folder, boards, call.asks() && !call.json(), call.json());
  // A reader who leaves off is done, too.
  if (status != 0 && status != left_off)
    throw Error::book(fmt::format("The tour broke off with status {}; what it has so far is in {}.",
                                  status, boards.string()));
  if (call.json())
    return call.done(
        Json::object().set("folder", boards.string()).set("book", (boards / "book.db").string()));
  call.out() << '\n';
  call.say(
      fmt::format("The invented book and its papers are in {}; your own is untouched. Look "
                  "round in it with --book {}, and delete the folder when you are done.",
                  boards.string(), (boards / "book.db").string()));
  return 0;
}

}  // namespace trencher::commands
