// The book outside its file: export as JSON Lines, import of one, backup.
//
// An export is one line an entry, in order, then one line a person and a file of the vault, then a
// trailer with the book's id, the counts and the last hash.
#pragma once

#include <filesystem>
#include <functional>
#include <string_view>

#include "book/book.h"

namespace trencher::book {

void export_lines(const Book& book, const std::function<void(std::string_view line)>& write);

// Makes a new book at `path` out of an export: numbers, bytes and hashes kept, everything checked.
// Error::book and no book where the file is cut, altered, or `path` exists. Returns the entries.
// `progress` hears of each how many are in, and of how many.
std::int64_t import_lines(const std::filesystem::path& exported, const std::filesystem::path& path,
                          const std::function<void(std::int64_t, std::int64_t)>& progress = {});

// Writes the whole file anew, so that no freed page of it keeps what was deleted.
void vacuum(Book& book);
// A consistent copy while others write; `target` must not exist.
// `progress` hears of the bytes that are in the copy, and of how many.
void backup(Book& book, const std::filesystem::path& target,
            const std::function<void(std::int64_t, std::int64_t)>& progress = {});

}  // namespace trencher::book
