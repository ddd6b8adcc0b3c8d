#include "book/entry.h"

#include <fmt/format.h>

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
  std::string bytes;
  bytes.reserve(entry.body.size() + 256);
  const auto add = [&](std::string_view field) {
    bytes.append(std::to_string(field.size())) += ':';
    bytes.append(field) += ',';
  };
  add("trencher-1");
  add(previous_hash);
  add(std::to_string(entry.number));
  add(iso(entry.happened.at));
  add(std::to_string(entry.happened.offset_minutes));
  add(iso(entry.written_at));
  add(std::to_string(entry.written_by));
  add(entry.kind);
  add(std::to_string(entry.kind_version));
  add(entry.body);
  return sha256_hex(bytes);
}

}  // namespace trencher::book
