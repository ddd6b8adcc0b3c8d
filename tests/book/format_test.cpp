// docs/book-format.md and its example say what the program does; and a script that shares no code
// with it reads what it writes.
#include <sys/wait.h>

#include <cstdio>
#include <functional>

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
  const auto named = [&](const std::string& word) {
    INFO(word);
    CHECK(page.find("`" + word + "`") != std::string::npos);
  };
  // Members of bodies and of what stands in them.
  const std::function<void(const Json&)> each_name = [&](const Json& value) {
    if (value.is_object())
      for (const auto& [name, member] : value.members()) {
        named(name);
        each_name(member);
      }
    if (value.is_array())
      for (const Json& item : value.items()) each_name(item);
  };
  const Copy shop;
  const Book book = Book::open(shop.file());
  book.each_entry([&](const book::Entry& entry) {
    named(entry.kind);
    each_name(Json::parse(entry.body));
  });
  std::size_t of_state = 0;
  book.sql().each("SELECT name FROM sqlite_master WHERE type = 'table'", [&](const book::Row& row) {
    named(row.text(0));
    ++of_state;
  });
  CHECK(page.find("**state**, twelve tables") != std::string::npos);
  CHECK(of_state == 12 + 4);  // and two each of the journal and the vault
  for (const char* column : {"signed_off", "signed_off_at", "given", "scrapped", "turn"})
    named(column);
}

TEST_CASE("format: the page says in which version each kind is written") {
  std::ifstream page(source / "docs/book-format.md");
  std::map<std::string, std::int64_t> on_page;
  for (std::string line; std::getline(page, line);) {
    const std::vector<std::string> cells = split(line, '|');
    if (cells.size() < 4 || cells[2].find_first_not_of(" 0123456789") != std::string::npos)
      continue;
    const std::vector<std::string> names = split(cells[1], '`');
    for (std::size_t i = 1; i < names.size(); i += 2) on_page[names[i]] = std::stoll(cells[2]);
  }
  CHECK(on_page.size() == 40);
  for (const auto& [kind, version] : on_page) {
    INFO(kind);
    CHECK(version == book::version_written(kind));
  }
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
