// docs/book-format.md and its example say what the program does; and a script that shares no code
// with it reads what it writes.
#include <sys/wait.h>

#include <cstdio>

#include "book/kinds.h"
#include "domain/text.h"
#include "shop.h"

using namespace shop;

namespace {

const std::filesystem::path source = TRENCHER_SOURCE_DIR;

// The page's commands: what is hashed, and the hash on the line below.
std::vector<std::pair<std::string, std::string>> worked_examples() {
  std::vector<std::pair<std::string, std::string>> out;
  std::ifstream page(source / "docs/book-format.md");
  const std::string begin = "printf '%s' '", end = "' | sha256sum";
  for (std::string line, digest; std::getline(page, line);)
    if (line.starts_with(begin) && line.ends_with(end) && std::getline(page, digest))
      out.emplace_back(line.substr(begin.size(), line.size() - begin.size() - end.size()),
                       digest.substr(0, 64));
  return out;
}

// The script's output and status.
std::pair<std::string, int> second_reader(const std::string& arguments) {
  const std::string command = "/usr/bin/python3 '" + (source / "tests/verify_book.py").string() +
                              "' " + arguments + " 2>&1";
  FILE* pipe = ::popen(command.c_str(), "r");
  REQUIRE(pipe != nullptr);
  std::string said;
  char buffer[512];
  while (std::fgets(buffer, sizeof buffer, pipe)) said += buffer;
  return {said, WEXITSTATUS(::pclose(pipe))};
}

std::string quoted(const std::filesystem::path& path) { return "'" + path.string() + "'"; }

}  // namespace

TEST_CASE("format: the page's worked examples are what the program hashes") {
  const Folder folder;
  CHECK(book::import_lines(source / "docs/book-example.jsonl", folder / "book.db") == 3);
  Book book = Book::open(folder / "book.db");
  CHECK(problems_of(book).empty());
  CHECK(exported(book) == bytes_of(source / "docs/book-example.jsonl"));

  const auto examples = worked_examples();
  REQUIRE(examples.size() == 5);
  for (const auto& [text, digest] : examples) CHECK(sha256_hex(text) == digest);
  CHECK(examples[0].first == book.id());
  CHECK(examples[0].second == book::first_previous_hash(book.id()));
  std::string previous = examples[0].second;
  book.each_entry([&](const book::Entry& entry) {
    const auto& [text, digest] = examples[static_cast<std::size_t>(entry.number)];
    CHECK(book::entry_hash(previous, entry) == digest);
    CHECK(text.find("," + book::netstring(entry.kind) + "1:1," + book::netstring(entry.body)) !=
          std::string::npos);
    previous = digest;
  });
  book.each_person([&](const book::Person& person) {
    CHECK(seal(person) == examples[4].second);
    CHECK(examples[4].first == book::netstring(person.salt) + book::netstring(person.id) +
                                   book::netstring(person.name) + book::netstring(person.contact));
  });
  CHECK(find_place(book, "garage")->temp == Celsius{15'000});
  CHECK(workers(book).at(0).may_sign_off);
}

TEST_CASE("format: the page names every kind of entry and every table") {
  const std::string page = bytes_of(source / "docs/book-format.md");
  const Copy shop;
  const Book book = Book::open(shop.file());
  book.each_entry([&](const book::Entry& entry) {
    INFO(entry.kind);
    CHECK(page.find("`" + entry.kind + "`") != std::string::npos);
    const Json body = Json::parse(entry.body);
    for (const auto& [name, value] : body.members()) {
      INFO(name);
      CHECK(page.find("`" + name + "`") != std::string::npos);
    }
  });
  book.sql().each("SELECT name FROM sqlite_master WHERE type = 'table'", [&](const book::Row& row) {
    INFO(row.text(0));
    CHECK(page.find("`" + row.text(0) + "`") != std::string::npos);
  });
}

TEST_CASE("format: the second reader finds a full book and its export and a backup unaltered") {
  const Copy shop;
  Book book = Book::open(shop.file());
  const auto exported_file = shop.folder() / "export.jsonl";
  put_bytes(exported_file, exported(book));
  book::backup(book, shop.folder() / "backup.db");
  const std::string whole = "unaltered: " + std::to_string(book.entry_count()) +
                            " entries, last hash " + book.last_hash() + "\n";
  for (const auto& file : {shop.file(), exported_file, shop.folder() / "backup.db"})
    CHECK(second_reader(quoted(file)) == std::pair(whole, 0));
}

TEST_CASE("format: the second reader names what was altered") {
  const std::pair<const char*, const char*> changes[] = {
      {"UPDATE entry SET written_by = 2 WHERE number = 20", "entry 20 or its hash was altered"},
      {"DELETE FROM entry WHERE number = 6", "entry 6 is missing"},
      {"UPDATE person SET name = 'X' WHERE name = 'Robin Example'", "the seal does not fit"},
      {"UPDATE file SET bytes = x'00'", "in the vault was altered"}};
  for (const auto& [sql, words] : changes) {
    const Copy shop;
    tamper(shop.file(), sql);
    const auto [said, status] = second_reader(quoted(shop.file()));
    INFO(said);
    CHECK(status == 1);
    CHECK(said.find(words) != std::string::npos);
    CHECK(said.find("altered: ") != std::string::npos);
  }
}
