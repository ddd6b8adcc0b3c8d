// A connection to the book's file: SQLiteCpp behind a few typed calls, with its failures turned
// into the sentences that a user is shown. Used inside book/ only.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <filesystem>
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
  explicit Row(SQLite::Statement& statement) : statement_(statement) {}
  std::int64_t number(int column) const { return statement_.getColumn(column).getInt64(); }
  std::string text(int column) const { return statement_.getColumn(column).getString(); }
  bool empty(int column) const { return statement_.getColumn(column).isNull(); }
  // All columns: numbers, texts, and nothing for NULL.
  void values(std::vector<Value>& out) const;
  std::optional<std::int64_t> maybe_number(int column) const {
    return empty(column) ? std::nullopt : std::optional(number(column));
  }

 private:
  SQLite::Statement& statement_;
};

struct Blob {
  std::string_view bytes;
};

class Sql {
 public:
  // Opens an existing file, for writing where the file system allows it. Error::book otherwise.
  static Sql open(const std::filesystem::path& path);
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
      (bind(*statement, ++index, values), ...);
      const Row row(*statement);
      while (statement->executeStep()) use(row);
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
  // A copy, consistent and without free pages, into an empty file.
  void copy_into(const std::filesystem::path& target);

 private:
  Sql(const std::filesystem::path& path, int flags);

  // A prepared statement, taken from the store and put back; taken twice at once it is made anew.
  class Borrowed {
   public:
    Borrowed(Sql& sql, const std::string& text);
    ~Borrowed();
    Borrowed(const Borrowed&) = delete;
    Borrowed& operator=(const Borrowed&) = delete;
    SQLite::Statement& operator*() { return *statement_; }
    SQLite::Statement* operator->() { return statement_.get(); }

   private:
    Sql& sql_;
    std::string text_;
    std::unique_ptr<SQLite::Statement> statement_;
  };

  static void bind(SQLite::Statement& s, int i, std::int64_t value) { s.bind(i, value); }
  static void bind(SQLite::Statement& s, int i, int value) { s.bind(i, std::int64_t{value}); }
  static void bind(SQLite::Statement& s, int i, const std::string& value) { s.bind(i, value); }
  static void bind(SQLite::Statement& s, int i, const char* value) {
    s.bind(i, std::string(value));
  }
  static void bind(SQLite::Statement& s, int i, const Blob& value) {
    s.bind(i, value.bytes.data(), static_cast<int>(value.bytes.size()));
  }
  template <typename T>
  static void bind(SQLite::Statement& s, int i, const std::optional<T>& value) {
    if (value)
      bind(s, i, *value);
    else
      s.bind(i);
  }

  std::filesystem::path path_;
  std::unique_ptr<SQLite::Database> database_;
  // After the database: statements must die before it.
  std::unordered_map<std::string, std::unique_ptr<SQLite::Statement>> store_;
};

// One statement, many rows. Below SQLiteCpp, which copies each text and binds none that has no end
// of its own.
class Insert {
 public:
  Insert(Sql& sql, const std::string& text);
  ~Insert();
  Insert(const Insert&) = delete;
  Insert& operator=(const Insert&) = delete;
  void row(std::span<const Value> values);
  void row(std::initializer_list<Value> values) { row(std::span(values.begin(), values.size())); }

 private:
  Sql& sql_;
  sqlite3_stmt* statement_ = nullptr;
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
