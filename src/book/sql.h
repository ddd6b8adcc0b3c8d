// A connection to the book's file: SQLiteCpp behind a few typed calls, with its failures turned
// into the sentences that a user is shown. Used inside book/ only.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>
#include <sqlite3.h>

#include <cstring>
#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <unordered_map>
#include <vector>

#include "book/value.h"

namespace trencher::book {

// One row, valid until the next; columns count from 0.
class Row {
 public:
  explicit Row(sqlite3_stmt* statement) : statement_(statement) {}
  std::int64_t number(int column) const { return sqlite3_column_int64(statement_, column); }
  std::string text(int column) const { return std::string(view(column)); }
  std::string_view view(int column) const {
    const void* bytes = sqlite3_column_blob(statement_, column);
    return {static_cast<const char*>(bytes),
            static_cast<std::size_t>(sqlite3_column_bytes(statement_, column))};
  }
  bool empty(int column) const { return sqlite3_column_type(statement_, column) == SQLITE_NULL; }
  // All columns: numbers, texts, and nothing for NULL.
  void values(std::vector<Value>& out) const;
  std::optional<std::int64_t> maybe_number(int column) const {
    return empty(column) ? std::nullopt : std::optional(number(column));
  }

 private:
  sqlite3_stmt* statement_;
};

struct Blob {
  std::string_view bytes;
};

class Sql {
 public:
  // Opens an existing file, for writing where the file system allows it. Error::book otherwise.
  // Without `wait` also at once where others use it, in place of after some seconds.
  static Sql open(const std::filesystem::path& path, bool wait = true);
  static Sql create(const std::filesystem::path& path);  // the file must not exist
  static Sql in_memory();

  template <typename... Values>
  void run(const std::string& sql, const Values&... values) {
    each(
        sql, [](const Row&) {}, values...);
  }

  // Calls `use` with every row.
  template <typename Use, typename... Values>
  void each(const std::string& sql, Use use, const Values&... values) {
    try {
      Borrowed statement(*this, sql);
      int index = 0;
      (statement.need(bind(statement.get(), ++index, values)), ...);
      const Row row(statement.get());
      while (statement.step()) use(row);
    } catch (const SQLite::Exception& failure) {
      fail(failure, path_);
    }
  }

  // The first column of the first row.
  template <typename... Values>
  std::optional<std::int64_t> number(const std::string& sql, const Values&... values) {
    std::optional<std::int64_t> out;
    each(
        sql,
        [&](const Row& row) {
          if (!out) out = row.maybe_number(0);
        },
        values...);
    return out;
  }
  template <typename... Values>
  std::optional<std::string> text(const std::string& sql, const Values&... values) {
    std::optional<std::string> out;
    each(
        sql,
        [&](const Row& row) {
          if (!out && !row.empty(0)) out = row.text(0);
        },
        values...);
    return out;
  }

  void script(const std::string& sql);  // several statements
  bool in_transaction() const;
  // Ends the transaction; what it wrote outlasts a power cut from here on. SQLite itself leaves
  // open whether the removal of its rollback journal does, and a journal that comes back undoes it.
  void commit();
  const std::filesystem::path& path() const { return path_; }
  SQLite::Database& database() { return *database_; }
  // Turns SQLite's failure into Error::book about `file`.
  [[noreturn]] static void fail(const SQLite::Exception& failure,
                                const std::filesystem::path& file);
  // A copy, consistent and without free pages, into an empty file. `progress` hears of its bytes,
  // and of how many.
  void copy_into(const std::filesystem::path& target,
                 const std::function<void(std::int64_t, std::int64_t)>& progress = {});

  // Hears how far a fold of the state is, in entries (rebuild_watch.h); may be empty.
  std::function<void(std::int64_t done, std::int64_t of)> rebuild_watch;

 private:
  Sql(const std::filesystem::path& path, int flags, bool wait = true);

  struct Finalize {
    void operator()(sqlite3_stmt* statement) const { sqlite3_finalize(statement); }
  };
  using Prepared = std::unique_ptr<sqlite3_stmt, Finalize>;

  // A prepared statement, taken from the store and put back; taken twice at once it is made anew.
  // Below SQLiteCpp, which counts who holds a statement anew for each column of each row.
  class Borrowed {
   public:
    Borrowed(Sql& sql, const std::string& text);
    ~Borrowed();
    Borrowed(const Borrowed&) = delete;
    Borrowed& operator=(const Borrowed&) = delete;
    sqlite3_stmt* get() { return statement_.get(); }
    bool step();                // whether there is a row
    void need(int code) const;  // throws SQLite::Exception of any but SQLITE_OK

   private:
    Sql& sql_;
    std::string text_;
    Prepared statement_;
  };

  // What is bound outlasts the use of the statement.
  static int bind(sqlite3_stmt* s, int i, std::int64_t value) {
    return sqlite3_bind_int64(s, i, value);
  }
  static int bind(sqlite3_stmt* s, int i, int value) { return bind(s, i, std::int64_t{value}); }
  static int bind(sqlite3_stmt* s, int i, std::string_view value) {
    return sqlite3_bind_text(s, i, value.data(), static_cast<int>(value.size()), SQLITE_STATIC);
  }
  static int bind(sqlite3_stmt* s, int i, const std::string& value) {
    return bind(s, i, std::string_view(value));
  }
  static int bind(sqlite3_stmt* s, int i, const char* value) {
    return bind(s, i, std::string_view(value));
  }
  static int bind(sqlite3_stmt* s, int i, const Blob& value) {
    return sqlite3_bind_blob(s, i, value.bytes.data(), static_cast<int>(value.bytes.size()),
                             SQLITE_STATIC);
  }
  template <typename T>
  static int bind(sqlite3_stmt* s, int i, const std::optional<T>& value) {
    return value ? bind(s, i, *value) : sqlite3_bind_null(s, i);
  }

  std::filesystem::path path_;
  std::unique_ptr<SQLite::Database> database_;
  // After the database: statements must die before it.
  std::unordered_map<std::string, Prepared> store_;
};

// While it lives, reads see one state of the book, whatever others write. Inside a transaction it
// does nothing.
class Snapshot {
 public:
  explicit Snapshot(Sql& sql);
  ~Snapshot();
  Snapshot(const Snapshot&) = delete;
  Snapshot& operator=(const Snapshot&) = delete;

 private:
  Sql& sql_;
  bool own_;
};

}  // namespace trencher::book
