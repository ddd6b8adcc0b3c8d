#include "book/insert_many.h"

#include <fmt/format.h>

#include <new>
#include <utility>

#include "book/sql.h"

namespace trencher::book {

// The virtual table `held_rows`: the rows of that InsertMany of this thread which is being put.
struct HeldRows {
  static inline thread_local const InsertMany* put = nullptr;

  struct Cursor {
    sqlite3_vtab_cursor base{};
    std::size_t row = 0;
  };
  static std::size_t& row_of(sqlite3_vtab_cursor* cursor) {
    return reinterpret_cast<Cursor*>(cursor)->row;
  }

  static int connect(sqlite3* database, void*, int, const char* const*, sqlite3_vtab** out,
                     char**) {
    *out = new (std::nothrow) sqlite3_vtab{};
    if (!*out) return SQLITE_NOMEM;
    // As many columns as the widest table, that of entries.
    return sqlite3_declare_vtab(database, "CREATE TABLE x(c0, c1, c2, c3, c4, c5, c6, c7, c8)");
  }
  static int disconnect(sqlite3_vtab* table) {
    delete table;
    return SQLITE_OK;
  }
  static int best_index(sqlite3_vtab*, sqlite3_index_info*) { return SQLITE_OK; }
  static int open(sqlite3_vtab*, sqlite3_vtab_cursor** out) {
    auto* made = new (std::nothrow) Cursor;
    if (!made) return SQLITE_NOMEM;
    *out = &made->base;
    return SQLITE_OK;
  }
  static int close(sqlite3_vtab_cursor* cursor) {
    delete reinterpret_cast<Cursor*>(cursor);
    return SQLITE_OK;
  }
  static int filter(sqlite3_vtab_cursor* cursor, int, const char*, int, sqlite3_value**) {
    row_of(cursor) = 0;
    return SQLITE_OK;
  }
  static int next(sqlite3_vtab_cursor* cursor) {
    ++row_of(cursor);
    return SQLITE_OK;
  }
  static int eof(sqlite3_vtab_cursor* cursor) { return !put || row_of(cursor) >= put->rows_; }
  static int column(sqlite3_vtab_cursor* cursor, sqlite3_context* out, int column) {
    const InsertMany::Held& held =
        put->held_[row_of(cursor) * put->columns_ + static_cast<std::size_t>(column)];
    if (held.begin != InsertMany::none)
      sqlite3_result_text(out, put->texts_.data() + held.begin, static_cast<int>(held.size),
                          SQLITE_STATIC);
    else if (const auto* number = std::get_if<std::int64_t>(&held.value))
      sqlite3_result_int64(out, *number);
    else if (const auto* text = std::get_if<std::string_view>(&held.value))
      sqlite3_result_text(out, text->data(), static_cast<int>(text->size()), SQLITE_STATIC);
    return SQLITE_OK;
  }
  static int rowid(sqlite3_vtab_cursor* cursor, sqlite3_int64* out) {
    *out = static_cast<sqlite3_int64>(row_of(cursor));
    return SQLITE_OK;
  }

  // Without a function that makes it, it is there for each connection without being created.
  static const sqlite3_module* module() {
    static const sqlite3_module made = [] {
      sqlite3_module out{};
      out.xConnect = connect;
      out.xDisconnect = disconnect;
      out.xBestIndex = best_index;
      out.xOpen = open;
      out.xClose = close;
      out.xFilter = filter;
      out.xNext = next;
      out.xEof = eof;
      out.xColumn = column;
      out.xRowid = rowid;
      return out;
    }();
    return &made;
  }
};

InsertMany::InsertMany(Sql& sql, std::string table, int columns)
    : sql_(sql), table_(std::move(table)), columns_(static_cast<std::size_t>(columns)) {}

void InsertMany::row(std::span<const Value> values) {
  for (const Value& value : values) {
    Held& held = held_.emplace_back(Held{value});
    if (const auto* text = std::get_if<std::string_view>(&value)) {
      held.begin = texts_.size();
      held.size = text->size();
      texts_ += *text;
    }
  }
  held_one();
}

void InsertMany::lasting_row(std::initializer_list<Value> values) {
  for (const Value& value : values) held_.emplace_back(Held{value});
  held_one();
}

void InsertMany::prepare() {
  std::string text = "c0";
  for (std::size_t i = 1; i < columns_; ++i) text += fmt::format(", c{}", i);
  // OR FAIL: the other ways to fail want pages kept as they were before each run.
  text = fmt::format("INSERT OR FAIL INTO {} SELECT {} FROM held_rows", table_, text);
  sqlite3* handle = sql_.database().getHandle();
  sqlite3_stmt* made = nullptr;
  if (const int code = sqlite3_prepare_v2(handle, text.c_str(), -1, &made, nullptr))
    Sql::fail(SQLite::Exception(handle, code), sql_.path());
  statement_.reset(made);
}

void InsertMany::finish() {
  if (rows_ == 0) return;
  if (!statement_) prepare();
  HeldRows::put = this;
  const int code = sqlite3_step(statement_.get());
  HeldRows::put = nullptr;
  sqlite3_reset(statement_.get());
  if (code != SQLITE_DONE)
    Sql::fail(SQLite::Exception(sql_.database().getHandle(), code), sql_.path());
  rows_ = 0;
  held_.clear();
  texts_.clear();
}

void know_held_rows(sqlite3* database) {
  sqlite3_create_module(database, "held_rows", HeldRows::module(), nullptr);
}

}  // namespace trencher::book
