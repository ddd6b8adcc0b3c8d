// Bytes flipped one at a time in the file of a full book.
#include <random>

#include "shop.h"

using namespace shop;

namespace {

// Whether opening or verifying tells of it; a flip that nobody could notice leaves the export as it
// was.
bool told_of(const std::filesystem::path& path, const std::string& whole) {
  try {
    Book book = Book::open(path);
    if (!problems_of(book).empty()) return true;
    CHECK(exported(book) == whole);
    return false;
  } catch (const Error&) {
    return true;
  }
}

}  // namespace

TEST_CASE("flips: a flipped byte anywhere is told of or alters nothing that the book says") {
  const Copy shop;
  const std::string whole = exported(Book::open(shop.file())), bytes = bytes_of(shop.file());
  const auto path = shop.folder() / "flipped.db";
  std::mt19937 random(20261205);
  const auto below = [&](std::size_t n) {
    return std::uniform_int_distribution<std::size_t>(0, n - 1)(random);
  };
  int told = 0, nonzero = 0;
  for (int i = 0; i < 800; ++i) {
    std::string flipped = bytes;
    std::size_t at = below(bytes.size());
    // Half of them where something stands: most of a small file is empty room.
    while (i % 2 && flipped[at] == 0) at = below(bytes.size());
    nonzero += flipped[at] != 0;
    flipped[at] = static_cast<char>(flipped[at] ^ (i % 4 < 2 ? 1u << below(8) : 1 + below(255)));
    put_bytes(path, flipped);
    INFO("byte " << at << " of " << bytes.size());
    told += told_of(path, whole);
  }
  CHECK(nonzero > 400);
  CHECK(told > 300);
}

TEST_CASE("flips: every byte of every entry is told of") {
  const Copy shop;
  const std::string whole = exported(Book::open(shop.file())), bytes = bytes_of(shop.file());
  const auto path = shop.folder() / "flipped.db";
  Book::open(shop.file()).each_entry([&](const book::Entry& entry) {
    if (entry.number % 5 != 1) return;
    for (const std::string& part :
         {entry.body.substr(0, 40), iso(entry.written_at), entry.hash.substr(0, 8)}) {
      std::size_t at = bytes.find(part);
      REQUIRE(at != std::string::npos);
      at += static_cast<std::size_t>(entry.number) % part.size();
      std::string flipped = bytes;
      flipped[at] = static_cast<char>(flipped[at] ^ 1);
      put_bytes(path, flipped);
      INFO("entry " << entry.number << ", byte " << at);
      CHECK(told_of(path, whole));
    }
  });
}

TEST_CASE("flips: a file cut anywhere is told of") {
  const Copy shop;
  const std::string whole = exported(Book::open(shop.file())), bytes = bytes_of(shop.file());
  const auto path = shop.folder() / "cut.db";
  for (std::size_t length = 0; length < bytes.size(); length += 1531) {
    put_bytes(path, bytes.substr(0, length));
    INFO(length);
    CHECK(told_of(path, whole));
  }
}
