// What can still be read of a damaged book or export, proved by nothing yet.
//
// A book's file is searched byte by byte for rows in SQLite's form of a record
// (sqlite.org/fileformat2.html, sections 1.6 and 2.1: cells, overflow pages, record headers), so
// that neither its header, its schema nor the upper pages of its trees need be readable.
#pragma once

#include <filesystem>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "book/book.h"

namespace trencher::book {

struct Salvage {
  std::string source;                                  // book or export
  std::string sha256;                                  // of the file
  std::string id;                                      // of the book; empty: not found
  std::map<std::int64_t, std::vector<Entry>> entries;  // by number; more than one: remains
  std::vector<Person> persons;
  std::map<std::string, std::string> files;  // by SHA-256, which fits
  std::size_t files_hurt = 0;                // whose bytes do not fit
  // The number of the journal's last entry, read or not; absent: nobody can tell.
  std::optional<std::int64_t> last;
};

// `scratch`: a folder of our own for a copy, on which SQLite undoes what a power cut left half
// done; the file itself is only read. Error::book where it cannot be read, or nothing in it is of
// a book.
Salvage salvage(const std::filesystem::path& damaged, const std::filesystem::path& scratch);

// Every row that a book's file holds, wherever it lies. `page_size` is that of the file's header.
void search_rows(std::string_view bytes, std::size_t page_size, Salvage& out);

}  // namespace trencher::book
