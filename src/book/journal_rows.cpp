#include "book/journal_rows.h"

#include <fmt/format.h>

#include <exception>
#include <utility>
#include <vector>

#include "book/sql.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

constexpr std::size_t rows_at_once = 256;

struct Part {
  std::string previous;  // the hash before its first row
  std::vector<JournalRow> rows;
};

void look(Part& part) {
  std::string_view previous = part.previous;
  for (JournalRow& row : part.rows) {
    row.look(previous);
    previous = row.hash();
  }
}

}  // namespace

JournalRow::JournalRow(const Row& row) {
  try {
    entry_ = read_entry(row);
  } catch (const Error& failure) {
    failure_ = failure.what();
    entry_.number = row.number(0);
    entry_.hash = row.text(8);
  }
}

void JournalRow::look(std::string_view previous_hash) {
  if (!failure_.empty()) return;
  hashed_ = {previous_hash, entry_hash(previous_hash, entry_)};
  body_ = read_body(entry_);
}

void each_journal_row(Book& book, const std::function<void(const JournalRow&)>& use) {
  bool in_use = false;
  ReadAhead<Part> ahead(look, [&](Part& part) {
    in_use = true;
    for (const JournalRow& row : part.rows) use(row);
    in_use = false;
  });
  Part part{first_previous_hash(book.id()), {}};
  const auto push = [&] {
    if (part.rows.empty()) return;
    std::string last = part.rows.back().hash();
    ahead.push(std::exchange(part, Part{std::move(last), {}}));
    part.rows.reserve(rows_at_once);
  };
  std::exception_ptr stopped;
  try {
    book.sql().each(fmt::format("SELECT {} FROM entry ORDER BY number", entry_columns),
                    [&](const Row& row) {
                      part.rows.emplace_back(row);
                      if (part.rows.size() == rows_at_once) push();
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
