// Parts of the program that no command does alone, so that they can be timed.
//
//   parts chain BOOK        the chain of hashes followed, and every body read, as `verify` does
//   parts bytes BOOK FILE   writes the bytes that the chain hashes, for sha256sum
#include <fmt/format.h>

#include <fstream>
#include <string_view>

#include "book/book.h"
#include "book/chain.h"
#include "book/journal_rows.h"
#include "domain/error.h"

namespace {

using namespace trencher;
using namespace trencher::book;

int chain(Book& book) {
  Chain chain(first_previous_hash(book.id()), {});
  std::int64_t entries = 0;
  each_journal_row(book, [&](const JournalRow& row) {
    const std::string& unreadable = row.failure().empty() ? row.body().unreadable : row.failure();
    if (!unreadable.empty()) throw Error::book(unreadable);
    if (row.entry().kind == rescued_kind) throw Error::book("The book was rescued once.");
    if (const auto how = chain.next(row.entry(), row.hashed()))
      throw Error::book(fmt::format("Entry {} {}.", row.number(), *how));
    if (!row.body().unlike.empty())
      throw Error::book(
          fmt::format("The body of entry {} is {}.", row.number(), row.body().unlike));
    ++entries;
  });
  fmt::print("{} entries\n", entries);
  return 0;
}

int bytes(const Book& book, const char* path) {
  std::ofstream out(path, std::ios::binary);
  std::string previous = first_previous_hash(book.id());
  book.each_entry([&](const Entry& entry) {
    for (const std::string& field :
         {std::string("trencher-1"), previous, std::to_string(entry.number), iso(entry.happened.at),
          std::to_string(entry.happened.offset_minutes), iso(entry.written_at),
          std::to_string(entry.written_by), entry.kind, std::to_string(entry.kind_version),
          entry.body})
      out << netstring(field);
    previous = entry.hash;
  });
  out.close();
  return out ? 0 : 2;
}

}  // namespace

int main(int count, char** words) {
  const std::string_view what = count > 1 ? words[1] : "";
  try {
    if (what == "chain" && count == 3) {
      Book book = Book::open(words[2]);
      return chain(book);
    }
    if (what == "bytes" && count == 4) return bytes(Book::open(words[2]), words[3]);
  } catch (const std::exception& failure) {
    fmt::print(stderr, "{}\n", failure.what());
    return 2;
  }
  fmt::print(stderr, "usage: parts chain BOOK | parts bytes BOOK FILE\n");
  return 2;
}
