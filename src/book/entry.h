// One line of the journal, and the hash that ties it to the line before.
#pragma once

#include <cstdint>
#include <string>
#include <string_view>

#include "domain/json.h"
#include "domain/time.h"

namespace trencher::book {

struct Entry {
  std::int64_t number = 0;      // from 1, without gaps
  Moment happened;              // may be back-dated
  Instant written_at;           // the clock's; never back-dated
  std::int64_t written_by = 0;  // a worker's id
  std::string kind;
  std::int64_t kind_version = 1;
  std::string body;  // the stored bytes, never re-serialised
  std::string hash;  // 64 hexadecimal digits
};

// SHA-256 over netstrings of: trencher-1, previous hash, number, happened_at, offset, written_at,
// by, kind, version, body (docs/book-format.md).
std::string entry_hash(std::string_view previous_hash, const Entry& entry);
// The previous hash of the first entry.
std::string first_previous_hash(std::string_view book_id);
// The body as a value; Error::book where it is no JSON.
Json parse_body(std::string_view body);
// "5:hello,"
std::string netstring(std::string_view bytes);

}  // namespace trencher::book
