// What a kept file is called outside the book, whoever named it: an export that is imported may
// hold any text as a name.
#include "commands/papers.h"

#include <catch2/catch.hpp>
#include <filesystem>
#include <set>

#include "domain/text.h"

using namespace trencher;
using namespace trencher::commands;

namespace {

std::string safe(const std::string& name, std::int64_t entry = 12) {
  KeptFile file;
  file.entry = entry;
  file.name = name;
  return safe_name(file);
}

}  // namespace

TEST_CASE("an ordinary name of a paper stays legible") {
  CHECK(safe("notice.pdf") == "12-notice.pdf");
  CHECK(safe("Erklärung 2026.pdf") == "12-Erklärung_2026.pdf");
  CHECK(safe("sheet (1).tar.gz") == "12-sheet_(1).tar.gz");
}

TEST_CASE("no name of a paper leads anywhere or steers anything") {
  const std::vector<std::string> hostile{"../../etc/passwd",
                                         "/etc/passwd",
                                         "..",
                                         ".",
                                         "",
                                         "...",
                                         ".hidden",
                                         "-rf",
                                         "--help",
                                         "a/../b",
                                         "C:\\Windows\\x.exe",
                                         "a\nb",
                                         "a\rb",
                                         "a\tb",
                                         std::string("a\0b", 3),
                                         "\x1b[2J",
                                         "a\x7f",
                                         "\u202Egpj.exe",
                                         "\u009bx",
                                         "a;rm -rf ~",
                                         "$(id)",
                                         "`id`",
                                         "a|b",
                                         "<a>",
                                         "*?",
                                         "\xff\xfe",
                                         "\xc3",
                                         "trailing.",
                                         "trailing... ",
                                         "   ",
                                         "'quoted'",
                                         "papers.csv",
                                         "|sh"};
  for (const std::string& name : hostile) {
    const std::string out = safe(name);
    INFO(to_hex(name) << " gives " << to_hex(out));
    CHECK(out.starts_with("12-"));
    CHECK(out.size() > 3);
    CHECK(std::filesystem::path(out).filename() == out);
    CHECK(checked_text(out, "The name") == out);  // UTF-8, no control character, nothing turned
    CHECK(out.find_first_of("/\\:*?\"<>|'`$&; ") == std::string::npos);
    CHECK(out.find_first_of(".-", 3) != 3);
    CHECK_FALSE(out.ends_with('.'));
  }
}

TEST_CASE("a long name of a paper keeps its ending and whole characters") {
  std::string name;
  for (int i = 0; i < 300; ++i) name += "é";
  const std::string out = safe(name + ".pdf");
  CHECK(out.size() <= 130);
  CHECK(out.ends_with("é.pdf"));
  CHECK(is_utf8(out));
}

TEST_CASE("papers of several entries never share a name, whatever the case") {
  std::set<std::string> names;
  for (std::int64_t entry = 1; entry <= 120; ++entry)
    CHECK(names.insert(lower_ascii(safe(entry % 2 ? "a.pdf" : "A.PDF", entry))).second);
}
