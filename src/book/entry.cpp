#include "book/entry.h"

#include <fmt/format.h>

#include <algorithm>
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
  // One for each thread, as long as the longest so far: what grows from nothing costs more.
  thread_local std::string bytes;
  constexpr std::size_t most_beside = 512;  // numbers, times and sizes
  const std::size_t most =
      previous_hash.size() + entry.kind.size() + entry.body.size() + most_beside;
  if (bytes.size() < most) bytes.resize(most);
  char* at = bytes.data();
  const auto put_number = [](char* to, std::int64_t number) {
    return std::to_chars(to, to + 24, number).ptr;
  };
  const auto put = [&](std::string_view field) {
    at = put_number(at, static_cast<std::int64_t>(field.size()));
    *at++ = ':';
    at = std::copy(field.begin(), field.end(), at);
    *at++ = ',';
  };
  const auto put_digits = [&](std::int64_t number) {
    std::array<char, 24> digits;
    put({digits.data(), put_number(digits.data(), number)});
  };
  put("trencher-1");
  put(previous_hash);
  put_digits(entry.number);
  put(iso(entry.happened.at));
  put_digits(entry.happened.offset_minutes);
  put(iso(entry.written_at));
  put_digits(entry.written_by);
  put(entry.kind);
  put_digits(entry.kind_version);
  put(entry.body);
  return sha256_hex({bytes.data(), at});
}

}  // namespace trencher::book
