#include "book/journal_rows.h"

#include <fmt/format.h>

#include <exception>
#include <span>
#include <utility>
#include <vector>

#include "book/sql.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

constexpr std::size_t rows_at_once = 32;

struct Part {
  std::string previous;  // the hash before its first row
  std::vector<JournalRow> rows;
  std::size_t size = 0;  // those behind are spare
};

void look(Part& part) {
  std::string_view previous = part.previous;
  for (JournalRow& row : std::span(part.rows).first(part.size)) {
    row.look(previous);
    previous = row.hash();
  }
}

void clear(Part& part) {
  for (JournalRow& row : part.rows) row.clear();
  part.size = 0;
}

}  // namespace

void JournalRow::read(const Row& row) {
  try {
    read_entry(row, entry_);
  } catch (const Error& failure) {
    failure_ = failure.what();
    entry_.number = row.number(0);
    entry_.hash = row.view(8);
  }
}

void JournalRow::look(std::string_view previous_hash) {
  if (!failure_.empty()) return;
  hashed_ = {previous_hash, entry_hash(previous_hash, entry_)};
  body_ = read_body(entry_);
}

void JournalRow::clear() {
  hashed_ = {};
  body_ = {};
  failure_.clear();
}

void each_journal_row(Book& book, const std::function<void(const JournalRow&)>& use) {
  bool in_use = false;
  ReadAhead<Part> ahead(
      look,
      [&](Part& part) {
        in_use = true;
        for (const JournalRow& row : std::span(part.rows).first(part.size)) use(row);
        in_use = false;
      },
      clear);
  Part part;
  part.previous = first_previous_hash(book.id());
  const auto push = [&] {
    if (part.size == 0) return;
    const std::string last = part.rows[part.size - 1].hash();
    ahead.push(std::exchange(part, {}));
    part = ahead.spare();
    part.previous = last;
  };
  std::exception_ptr stopped;
  try {
    book.sql().each(fmt::format("SELECT {} FROM entry ORDER BY number", entry_columns),
                    [&](const Row& row) {
                      if (part.rows.empty()) part.rows.resize(rows_at_once);
                      part.rows[part.size++].read(row);
                      if (part.size == rows_at_once) push();
                    });
  } catch (const Error&) {
    if (in_use) throw;  // it was not the file
    stopped = std::current_exception();
  }
  push();
  ahead.finish();
  if (stopped) std::rethrow_exception(stopped);
}

}  // namespace trencher::book
