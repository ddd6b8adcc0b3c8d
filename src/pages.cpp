// Writes the manual pages, or prints the reference or every example, for the build, the documents
// and the tests. It is not installed.
#include <fmt/format.h>

#include <filesystem>
#include <fstream>
#include <iostream>
#include <string>

#include "commands/help_text.h"
#include "commands/manual.h"

namespace {

using namespace trencher::commands;

void write(const std::filesystem::path& path, const std::string& text) {
  std::ofstream out(path, std::ios::binary);
  out << text;
  out.close();
  if (!out) throw std::runtime_error("cannot write " + path.string());
}

}  // namespace

int main(int argc, char** argv) {
  const std::string what = argc > 1 ? argv[1] : "";
  if (what == "--reference") {
    std::cout << reference_page();
  } else if (what == "--examples") {
    for (const Command& command : commands())
      for (const std::string_view example : help_text(command.name).examples)
        std::cout << example << '\n';
  } else if (argc == 3) {
    const std::filesystem::path folder(what);
    std::filesystem::create_directories(folder);
    write(folder / "trencher.1", manual_page(argv[2]));
    for (const Command& command : commands())
      write(folder / fmt::format("trencher-{}.1", command.name), manual_page(command, argv[2]));
  } else {
    std::cerr << "usage: trencher_pages FOLDER VERSION | --reference | --examples\n";
    return 2;
  }
  return 0;
}
