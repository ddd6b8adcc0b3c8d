// Reading the entries that speak of an id. For book/queries*.cpp alone.
#pragma once

#include <fmt/format.h>

#include <string>
#include <string_view>
#include <vector>

#include "book/queries.h"
#include "book/sql.h"

namespace trencher::book {

// Effective entries by a condition on mention; `?1` is the id.
template <typename Use>
void each_mention(const Book& book, std::string_view id, std::string_view condition, Use use) {
  book.sql().each(
      fmt::format("SELECT entry FROM mention WHERE id = ? AND {} ORDER BY entry", condition),
      [&](const Row& row) { use(*effective_entry(book, row.number(0))); }, std::string(id));
}

// The values of one kind of entry about `id`.
template <typename Value>
std::vector<Value> of_kind(const Book& book, std::string_view id, std::string_view kind) {
  std::vector<Value> out;
  each_mention(book, id, fmt::format("kind = '{}' AND struck = 0", kind), [&](const Effective& e) {
    Value value = Value::read(e.body);
    value.entry = e.entry.number;
    value.at = e.happened;
    out.push_back(std::move(value));
  });
  return out;
}

}  // namespace trencher::book
