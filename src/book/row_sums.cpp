#include "book/row_sums.h"

#include <cstring>

#include "domain/text.h"

namespace trencher::book {

void RowSums::take(std::string_view table, std::span<const Value> row) {
  const auto number = [&](char mark, std::uint64_t value) {
    bytes_ += mark;
    for (int shift = 0; shift < 64; shift += 8) bytes_ += static_cast<char>(value >> shift);
  };
  bytes_ = key_;
  for (const Value& value : row)
    if (const auto* whole = std::get_if<std::int64_t>(&value)) {
      number('n', static_cast<std::uint64_t>(*whole));
    } else if (const auto* text = std::get_if<std::string_view>(&value)) {
      number('t', text->size());
      bytes_ += *text;
    } else {
      bytes_ += '-';
    }
  auto known = sums_.find(table);
  if (known == sums_.end()) known = sums_.emplace(table, Sum{}).first;
  const Sha256 digest = sha256(bytes_);
  ++known->second.rows;
  for (std::size_t i = 0; i < 4; ++i) {
    std::uint64_t part = 0;
    std::memcpy(&part, digest.data() + 8 * i, 8);
    known->second.of[i] += part;
  }
}

bool RowSums::same(std::string_view table, const RowSums& other) const {
  const auto of = [&](const RowSums& sums) {
    const auto known = sums.sums_.find(table);
    return known == sums.sums_.end() ? Sum{} : known->second;
  };
  return of(*this) == of(other);
}

}  // namespace trencher::book
