// Reading the entries that speak of an id. For book/queries*.cpp alone.
#pragma once

#include <fmt/format.h>

#include <string>
#include <string_view>
#include <vector>

#include "book/queries.h"
#include "book/sql.h"
#include "book/state.h"

namespace trencher::book {

// The entry of a row with entry_columns, corrected_by, struck_by.
Effective effective_of(const Book& book, const Row& row);

// Effective entries by a condition on mention; `?1` is the id.
template <typename Use>
void each_mention(const Book& book, std::string_view id, std::string_view condition, Use use) {
  book.sql().each(
      fmt::format(
          "SELECT {}, corrected_by, struck_by FROM"
          " (SELECT entry AS told FROM mention WHERE id = ? AND {}) JOIN entry ON number = told"
          " LEFT JOIN amended ON amended.entry = told ORDER BY told",
          entry_columns, condition),
      [&](const Row& row) { use(effective_of(book, row)); }, std::string(id));
}

template <typename Value>
Value value_of(const Effective& effective) {
  Value value = Value::read(effective.body);
  if constexpr (requires { value.at; }) {
    value.entry = effective.entry.number;
    value.at = effective.happened;
  }
  return value;
}

// The values of one kind of entry about `id`.
template <typename Value>
std::vector<Value> of_kind(const Book& book, std::string_view id, std::string_view kind) {
  std::vector<Value> out;
  each_mention(book, id, fmt::format("kind = '{}' AND struck = 0", kind),
               [&](const Effective& e) { out.push_back(value_of<Value>(e)); });
  return out;
}

}  // namespace trencher::book
