// Whether a book still holds what it held earlier: by a last hash that was noted then, or by an
// export or backup. What was hashed anew by somebody who knows the rules shows here alone.
#pragma once

#include <filesystem>
#include <optional>
#include <string>
#include <string_view>

#include "book/verify.h"

namespace trencher::book {

struct Against {
  bool fits = false;
  std::string said;                          // whole sentences
  std::optional<std::int64_t> contained_to;  // the last entry of the earlier state
  std::optional<std::int64_t> differs_from;  // the first entry that is another, or is gone
  bool another_book = false;
};

// The digits of a hash as somebody types them from paper, in groups or capitals, or of its
// beginning; nothing where it is none.
std::optional<std::string> typed_hash(std::string_view typed);

// `hash` as of typed_hash(). `verdict` is that of verify(). Error::request where it could be of
// several entries.
Against against_hash(const Book& book, const Verdict& verdict, const std::string& hash);
// Error::book where the file is neither an export nor a backup, or cannot be read.
Against against_file(const Book& book, const Verdict& verdict, const std::filesystem::path& file);

}  // namespace trencher::book
