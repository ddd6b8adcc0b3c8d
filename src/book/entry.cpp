#include "book/entry.h"

#include <fmt/format.h>

#include <array>
#include <charconv>
#include <utility>

#include "domain/error.h"
#include "domain/json_canonical.h"
#include "domain/text.h"

namespace trencher::book {

std::string netstring(std::string_view bytes) { return fmt::format("{}:{},", bytes.size(), bytes); }

Json parse_body(std::string_view body) {
  if (auto canonical = read_canonical(body)) return std::move(*canonical);
  try {
    return Json::parse(body);
  } catch (const Error& failure) {  // nobody asked for it: the book is damaged
    throw Error::book(failure.what());
  }
}

std::string first_previous_hash(std::string_view book_id) { return sha256_hex(book_id); }

std::string entry_hash(std::string_view previous_hash, const Entry& entry) {
  thread_local std::string bytes;  // of the longest entry so far
  bytes.clear();
  std::array<char, 24> digits;
  const auto written = [&](std::int64_t number) {
    const auto end = std::to_chars(digits.data(), digits.data() + digits.size(), number).ptr;
    return std::string_view(digits.data(), end);
  };
  std::array<char, 24> size;
  const auto add = [&](std::string_view field) {
    const auto end = std::to_chars(size.data(), size.data() + size.size(), field.size()).ptr;
    *end = ':';
    bytes.append(size.data(), end + 1).append(field) += ',';
  };
  add("trencher-1");
  add(previous_hash);
  add(written(entry.number));
  add(iso(entry.happened.at));
  add(written(entry.happened.offset_minutes));
  add(iso(entry.written_at));
  add(written(entry.written_by));
  add(entry.kind);
  add(written(entry.kind_version));
  add(entry.body);
  return sha256_hex(bytes);
}

}  // namespace trencher::book
