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
      fmt::format("SELECT {}, corrected_by, struck_by"
                  " FROM (SELECT entry AS spoken FROM mention WHERE id = ? AND {})"
                  " CROSS JOIN entry ON number = spoken"
                  " LEFT JOIN amended ON amended.entry = spoken ORDER BY spoken",
                  entry_columns, condition),
      [&](const Row& row) { use(effective_of(book, row)); }, std::string(id));
}

// What an entry says that is in force, without what only its hash needs.
struct Said {
  std::int64_t number = 0;
  std::string kind;
  Moment happened;
  Json body;
};

// The statement of each_said(), for those that ask it often. A list of more than two behind IN
// would be laid out as a table for each run: compare one by one.
inline std::string said_statement(std::string_view condition) {
  return fmt::format(
      "SELECT number, kind, happened_at, happened_offset, body, corrected_by"
      " FROM (SELECT entry AS spoken FROM mention WHERE id = ? AND {})"
      " CROSS JOIN entry ON number = spoken"
      " LEFT JOIN amended ON amended.entry = spoken ORDER BY spoken",
      condition);
}

template <typename Use>
void each_said_by(const Book& book, std::string_view id, const std::string& statement, Use use) {
  book.sql().each(
      statement,
      [&](const Row& row) {
        if (!row.empty(5)) {
          Effective corrected = *effective_entry(book, row.number(0));
          return use(
              Said{row.number(0), row.text(1), corrected.happened, std::move(corrected.body)});
        }
        use(Said{row.number(0),
                 row.text(1),
                 {instant_from_iso(row.text(2)), static_cast<int>(row.number(3))},
                 parse_body(row.text(4))});
      },
      std::string(id));
}

// As each_mention(), for conditions that leave out struck entries.
template <typename Use>
void each_said(const Book& book, std::string_view id, std::string_view condition, Use use) {
  each_said_by(book, id, said_statement(condition), use);
}

// A value read from what was said, with the entry and when it happened.
template <typename Value>
Value dated(Value value, const Said& said) {
  value.entry = said.number;
  value.at = said.happened;
  return value;
}

// The values of one kind of entry about `id`.
template <typename Value>
std::vector<Value> of_kind(const Book& book, std::string_view id, std::string_view kind) {
  std::vector<Value> out;
  each_said(book, id, fmt::format("kind = '{}' AND struck = 0", kind),
            [&](const Said& said) { out.push_back(dated(Value::read(said.body), said)); });
  return out;
}

}  // namespace trencher::book
