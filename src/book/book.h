// The book: one SQLite file that holds the journal, the vault and the state.
//
//   Book book = Book::open(path);
//   Writing writing(book);                       // BEGIN IMMEDIATE: from here on nobody else
//   writes
//   ... read again and decide ...
//   writing.append("coat", step.body(), stamp);
//   writing.commit();                            // or leave the scope: nothing happened
#pragma once

#include <filesystem>
#include <functional>
#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "book/entry.h"

namespace trencher::book {

class Snapshot;
class Sql;
class State;

inline constexpr int application_id = 0x54524E43;  // "TRNC", in the file's header
inline constexpr int layout_version = 3;           // user_version
inline constexpr int first_layout = 1;  // from here on: opening a book makes its state anew

struct Person {
  std::string id, salt;  // random, hexadecimal
  std::string name, contact;
};
Person new_person(std::string name, std::string contact);
// SHA-256 over netstrings of salt, id, name, contact: what the journal holds of a person.
std::string seal(const Person& person);

class Book {
 public:
  // Makes a new book, mode 0600; `first` writes its first entries and the file appears only when
  // all is written. Error::book where something is already there.
  static void create(const std::filesystem::path& path, const std::function<void(Book&)>& first,
                     std::string id = {});
  // Error::book where the file is missing, not ours, damaged, or of a newer layout.
  static Book open(const std::filesystem::path& path);
  // The same, held from before the first look at it. Who does not `wait` is refused at once where
  // somebody else is about to write.
  static Book open_held(const std::filesystem::path& path, bool wait = true);
  Book(Book&&) noexcept;
  ~Book();

  // From now on reads see one state of the book, whatever others write; nobody can finish writing
  // meanwhile, so let_go() before waiting for anything. A Writing lets go by itself.
  void hold();
  void let_go();

  const std::string& id() const { return id_; }
  const std::filesystem::path& path() const;

  std::int64_t entry_count() const;
  // The end of the journal: while it is the same, nothing was written.
  struct Tip {
    std::int64_t number = 0;
    std::string hash;  // of the last entry, or the first previous hash
    bool operator==(const Tip&) const = default;
  };
  Tip tip() const;
  std::string last_hash() const;  // of the last entry, or the first previous hash
  std::optional<Entry> entry(std::int64_t number) const;
  void each_entry(const std::function<void(const Entry&)>& use) const;  // in order

  std::optional<Person> person(std::string_view id) const;  // absent: forgotten
  void each_person(const std::function<void(const Person&)>& use) const;
  std::optional<std::string> file(std::string_view sha256) const;
  void each_file(
      const std::function<void(std::string_view sha256, std::string_view bytes)>& use) const;

  Sql& sql() const { return *sql_; }  // for book/ only

 private:
  explicit Book(std::unique_ptr<Sql> sql);
  std::unique_ptr<Sql> sql_;
  std::unique_ptr<Snapshot> held_;  // after sql_: it must end before
  std::string id_;
};

// Makes a file that appears under its name when all of it is there: `make` writes the draft, which
// is gone again where anything fails. Error::book where `path` exists by then.
void appear_whole(const std::filesystem::path& path,
                  const std::function<void(const std::filesystem::path& draft)>& make);

// When something happened, when it is written, by whom.
struct Stamp {
  Moment happened;
  Instant written_at;
  std::int64_t worker = 0;
};

// One writing transaction. Leaving the scope without commit() undoes everything. Within another it
// is a part of that one: committed or undone by itself, and for good only with the other.
class Writing {
 public:
  explicit Writing(Book& book);
  ~Writing();
  Writing(const Writing&) = delete;
  Writing& operator=(const Writing&) = delete;

  // Appends an entry, brings the state up to date, returns the entry's number.
  std::int64_t append(std::string_view kind, const Json& body, const Stamp& stamp);
  // Takes over an entry as it stands in an export: bytes, number and hash kept, chain checked. The
  // state is left for rebuild_state().
  void take_over(const Entry& entry);
  void rebuild_state();
  void keep(const Person& person);
  void forget(
      std::string_view person);  // takes row and salt out of the vault; the entry is the caller's
  std::string keep_file(std::string_view bytes);  // returns its SHA-256
  // Runs `what`, which may append, and undoes all that it did: to see what an entry would change.
  void rehearse(const std::function<void()>& what);
  void commit();

 private:
  Book& book_;
  bool open_ = true;
  bool part_;  // of another
};

}  // namespace trencher::book
