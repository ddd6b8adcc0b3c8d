// Exports of earlier programs, and one of today with every byte altered in turn.
#include <random>

#include "shop.h"

using namespace shop;

namespace {

const std::filesystem::path source = TRENCHER_SOURCE_DIR;

// What an import refuses `text` with, in a folder of its own; or nothing, and the book is out.db.
struct Import {
  std::string refused(std::string_view text) {
    put_bytes(folder / "in.jsonl", text);
    std::filesystem::remove(folder / "out.db");
    return refusal([&] { book::import_lines(folder / "in.jsonl", folder / "out.db"); });
  }
  const Folder folder;
};

}  // namespace

TEST_CASE("old exports: what earlier programs wrote comes in whole and goes out byte for byte") {
  int exports = 0;
  for (const auto& file : std::filesystem::directory_iterator(source / "tests/book/old-exports")) {
    if (file.path().extension() != ".jsonl") continue;
    INFO(file.path());
    ++exports;
    Import import;
    const std::string text = bytes_of(file.path());
    REQUIRE(import.refused(text) == "nothing was refused");
    Book made = Book::open(import.folder / "out.db");
    CHECK(problems_of(made) == std::vector<std::string>{});
    CHECK(exported(made) == text);
    // It can be gone on with.
    Writing writing(made);
    writing.append("note", Json::object().set("about", "26-001").set("text", "still at work"),
                   {{time("2027-01-01T00:00:00Z"), 0}, time("2027-01-01T00:00:00Z"), 1});
    writing.commit();
    CHECK(problems_of(made).empty());
  }
  CHECK(exports >= 3);
}

TEST_CASE("old exports: the worked example with each byte altered is refused or the same") {
  Import import;
  const std::string whole = bytes_of(source / "docs/book-example.jsonl");
  REQUIRE(import.refused(whole) == "nothing was refused");
  std::mt19937 random(8785);
  int refused = 0;
  for (std::size_t at = 0; at < whole.size(); ++at) {
    std::string text = whole;
    text[at] = static_cast<char>(text[at] ^ static_cast<char>(at % 2 ? 1 + random() % 255 : 0x20));
    INFO("byte " << at);
    const std::string said = import.refused(text);
    if (said != "nothing was refused") {
      ++refused;
      CHECK(said.starts_with("book: "));
      CHECK(import.folder.names() == std::vector<std::string>{"in.jsonl"});
    } else {
      CHECK(exported(Book::open(import.folder / "out.db")) == whole);
    }
  }
  CHECK(refused > 1400);
}

TEST_CASE("old exports: the worked example cut after each byte is refused") {
  Import import;
  const std::string whole = bytes_of(source / "docs/book-example.jsonl");
  for (std::size_t length = 0; length < whole.size(); ++length) {
    INFO(length);
    CHECK(import.refused(whole.substr(0, length)).starts_with("book: "));
  }
  CHECK(import.folder.names() == std::vector<std::string>{"in.jsonl"});
}
