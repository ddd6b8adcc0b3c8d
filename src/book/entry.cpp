#include "book/entry.h"

#include <fmt/format.h>

#include <array>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::book {

std::string netstring(std::string_view bytes) { return fmt::format("{}:{},", bytes.size(), bytes); }

Json parse_body(std::string_view body) {
  try {
    return Json::parse(body);
  } catch (const Error& failure) {  // nobody asked for it: the book is damaged
    throw Error::book(failure.what());
  }
}

std::string first_previous_hash(std::string_view book_id) { return sha256_hex(book_id); }

std::string entry_hash(std::string_view previous_hash, const Entry& entry) {
  const std::array fields{std::string("trencher-1"),
                          std::string(previous_hash),
                          std::to_string(entry.number),
                          iso(entry.happened.at),
                          std::to_string(entry.happened.offset_minutes),
                          iso(entry.written_at),
                          std::to_string(entry.written_by),
                          entry.kind,
                          std::to_string(entry.kind_version),
                          entry.body};
  std::string bytes;
  for (const std::string& field : fields) bytes += netstring(field);
  return sha256_hex(bytes);
}

}  // namespace trencher::book
