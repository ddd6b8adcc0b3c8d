// Parts of the program that no command does alone, so that they can be timed.
//
//   parts chain BOOK        the chain of hashes followed, and every body read: part of `verify`
//   parts bytes BOOK FILE   writes the bytes that the chain hashes, for sha256sum
#include <fmt/format.h>

#include <fstream>
#include <string_view>

#include "book/book.h"
#include "book/chain.h"
#include "book/kinds.h"
#include "domain/error.h"

namespace {

using namespace trencher;
using namespace trencher::book;

int chain(const Book& book) {
  Chain chain(first_previous_hash(book.id()), rescues(book.sql()));
  std::int64_t entries = 0;
  book.each_entry([&](const Entry& entry) {
    if (const auto how = chain.next(entry))
      throw Error::book(fmt::format("Entry {} {}.", entry.number, *how));
    const Json body = parse_body(entry.body);
    if (body.canonical() != entry.body)
      throw Error::book(fmt::format("The body of entry {} is written otherwise.", entry.number));
    facts_of(entry.kind, entry.kind_version, body);
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
    if (what == "chain" && count == 3) return chain(Book::open(words[2]));
    if (what == "bytes" && count == 4) return bytes(Book::open(words[2]), words[3]);
  } catch (const std::exception& failure) {
    fmt::print(stderr, "{}\n", failure.what());
    return 2;
  }
  fmt::print(stderr, "usage: parts chain BOOK | parts bytes BOOK FILE\n");
  return 2;
}
