#include "book/book.h"

#include <fmt/format.h>
#include <unistd.h>

#include <algorithm>

#include "book/kinds.h"
#include "book/put_entry.h"
#include "book/random.h"
#include "book/sql.h"
#include "book/state.h"
#include "domain/atomic_file.h"
#include "domain/embedded.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::book {
namespace {

std::string random_hex(std::size_t bytes) { return to_hex(random_bytes(bytes)); }

// A book of an earlier layout holds the same journal and vault; its state is folded anew.
void renew_state(Sql& sql) {
  sql.script("BEGIN IMMEDIATE");
  try {
    for (const std::string& table : State::tables()) sql.run("DROP TABLE IF EXISTS " + table);
    State state(sql, "main");
    state.make_tables();
    state.rebuild();
    sql.script(fmt::format("PRAGMA user_version={}", layout_version));
    sql.commit();
  } catch (...) {
    if (sql.in_transaction()) sql.script("ROLLBACK");
    throw;
  }
}

}  // namespace

Person new_person(std::string name, std::string contact) {
  return {random_hex(16), random_hex(32), std::move(name), std::move(contact)};
}

std::string seal(const Person& person) {
  return sha256_hex(netstring(person.salt) + netstring(person.id) + netstring(person.name) +
                    netstring(person.contact));
}

void appear_whole(const std::filesystem::path& path,
                  const std::function<void(const std::filesystem::path& draft)>& make) {
  const std::filesystem::path draft = fmt::format("{}.new-{}", path.string(), random_hex(4));
  const auto take_away = [&] {
    for (const char* part : {"", "-journal"}) ::unlink((draft.string() + part).c_str());
  };
  try {
    make(draft);
    give_name(draft, path);
  } catch (const Error& failure) {
    take_away();
    std::string said = failure.what();  // of the name that was asked for
    if (const auto at = said.find(draft.string()); at != std::string::npos)
      said.replace(at, draft.string().size(), path.string());
    throw failure.kind() == Error::Kind::request ? Error::request(said) : Error::book(said);
  } catch (...) {
    take_away();
    throw;
  }
}

Book::Book(std::unique_ptr<Sql> sql) : sql_(std::move(sql)) {}
Book::Book(Book&&) noexcept = default;
Book::~Book() = default;

const std::filesystem::path& Book::path() const { return sql_->path(); }

void Book::create(const std::filesystem::path& path, const std::function<void(Book&)>& first,
                  std::string id) {
  std::error_code why;
  if (std::filesystem::exists(path, why))
    throw Error::book(
        fmt::format("{} exists already; a new book never replaces a file.", path.string()));
  if (path.has_parent_path()) std::filesystem::create_directories(path.parent_path(), why);
  if (why)
    throw Error::book(fmt::format("The book {} cannot be made: {}.", path.string(), why.message()));
  appear_whole(path, [&](const std::filesystem::path& draft) {
    Book book(std::make_unique<Sql>(Sql::create(draft)));
    book.id_ = id.empty() ? random_hex(16) : std::move(id);
    book.sql_->script("BEGIN IMMEDIATE");
    for (const char* part : {"schema/journal.sql", "schema/vault.sql"})
      book.sql_->script(std::string(embedded_text(embedded_book(), part)));
    State(*book.sql_, "main").make_tables();
    book.sql_->run("INSERT INTO book (id, one) VALUES (?, 1)", book.id_);
    book.sql_->script(fmt::format("PRAGMA application_id={}; PRAGMA user_version={};",
                                  application_id, layout_version));
    book.sql_->script("COMMIT");
    first(book);
  });
}

Book Book::open(const std::filesystem::path& path) {
  Book book = open_held(path);
  book.let_go();
  return book;
}

Book Book::open_held(const std::filesystem::path& path, bool wait) {
  std::error_code why;
  if (!std::filesystem::exists(path, why))
    throw Error::book(
        fmt::format("There is no book at {}; 'trencher start' makes one.", path.string()));
  if (!std::filesystem::is_regular_file(path, why))
    throw Error::book(fmt::format("{} is not a file, so it is no book.", path.string()));
  Book book(std::make_unique<Sql>(Sql::open(path, wait)));
  book.hold();  // one lock for all that is asked
  if (book.sql_->number("PRAGMA application_id") != application_id)
    throw Error::book(fmt::format("{} is no book of Trencher's.", path.string()));
  auto version = book.sql_->number("PRAGMA user_version").value_or(0);
  if (version >= first_layout && version < layout_version) {
    book.let_go();
    renew_state(*book.sql_);
    book.hold();
    version = layout_version;
  }
  if (version != layout_version)
    throw Error::book(fmt::format(
        "The book {} has layout {}, and this program knows {}: {}.", path.string(), version,
        layout_version, version > layout_version ? "a newer Trencher made it" : "it is damaged"));
  const auto id = book.sql_->text("SELECT id FROM book");
  if (!id) throw Error::book(fmt::format("The book {} is damaged: its id is gone.", path.string()));
  book.id_ = *id;
  return book;
}

void Book::hold() {
  if (!held_) held_ = std::make_unique<Snapshot>(*sql_);
}

void Book::let_go() { held_.reset(); }

std::int64_t Book::entry_count() const {
  return sql_->number("SELECT max(number) FROM entry").value_or(0);
}

Book::Tip Book::tip() const {
  Tip out{0, ""};
  sql_->each("SELECT number, hash FROM entry ORDER BY number DESC LIMIT 1", [&](const Row& row) {
    out = {row.number(0), row.text(1)};
  });
  if (out.number == 0) out.hash = first_previous_hash(id_);
  return out;
}

std::string Book::last_hash() const { return tip().hash; }

std::optional<Entry> Book::entry(std::int64_t number) const {
  std::optional<Entry> out;
  sql_->each(
      fmt::format("SELECT {} FROM entry WHERE number = ?", entry_columns),
      [&](const Row& row) { out = read_entry(row); }, number);
  return out;
}

void Book::each_entry(const std::function<void(const Entry&)>& use) const {
  sql_->each(fmt::format("SELECT {} FROM entry ORDER BY number", entry_columns),
             [&](const Row& row) { use(read_entry(row)); });
}

std::optional<Person> Book::person(std::string_view id) const {
  std::optional<Person> out;
  sql_->each(
      "SELECT id, salt, name, contact FROM person WHERE id = ?",
      [&](const Row& row) {
        out = {row.text(0), row.text(1), row.text(2), row.text(3)};
      },
      std::string(id));
  return out;
}

void Book::each_person(const std::function<void(const Person&)>& use) const {
  sql_->each("SELECT id, salt, name, contact FROM person ORDER BY id", [&](const Row& row) {
    use({row.text(0), row.text(1), row.text(2), row.text(3)});
  });
}

std::optional<std::string> Book::file(std::string_view sha256) const {
  return sql_->text("SELECT bytes FROM file WHERE sha256 = ?", std::string(sha256));
}

void Book::each_file(
    const std::function<void(std::string_view sha256, std::string_view bytes)>& use) const {
  sql_->each("SELECT sha256, bytes FROM file ORDER BY sha256",
             [&](const Row& row) { use(row.text(0), row.text(1)); });
}

Writing::Writing(Book& book) : book_(book) {
  book_.let_go();
  part_ = book_.sql().in_transaction();
  book_.sql().script(part_ ? "SAVEPOINT part" : "BEGIN IMMEDIATE");
}

Writing::~Writing() {
  if (!open_) return;
  try {
    if (book_.sql().in_transaction())
      book_.sql().script(part_ ? "ROLLBACK TO part; RELEASE part" : "ROLLBACK");
  } catch (const std::exception&) {
    // The file's own journal undoes it when it is next opened.
  }
}

std::int64_t Writing::append(std::string_view kind, const Json& body, const Stamp& stamp) {
  const Book::Tip before = book_.tip();
  Entry entry{.number = before.number + 1,
              .happened = stamp.happened,
              .written_at = stamp.written_at,
              .written_by = stamp.worker,
              .kind = std::string(kind),
              .kind_version = std::max<std::int64_t>(version_written(kind), 1),
              .body = body.canonical(),
              .hash = {}};
  entry.hash = entry_hash(before.hash, entry);
  put_entry(book_.sql(), entry);
  State(book_.sql(), "main").append(entry);
  return entry.number;
}

void Writing::take_over(const Entry& entry) {
  if (entry_hash(book_.last_hash(), entry) != entry.hash)
    throw Error::book(fmt::format(
        "Entry {} does not follow from the entry before it: it was altered or is out of order.",
        entry.number));
  put_entry(book_.sql(), entry);
}

void Writing::rebuild_state() { State(book_.sql(), "main").rebuild(); }

void Writing::keep(const Person& person) {
  book_.sql().run("INSERT INTO person VALUES (?, ?, ?, ?)", person.id, person.salt, person.name,
                  person.contact);
}

void Writing::forget(std::string_view person) {
  // SQLite leaves copies of rows behind on pages whose rows it has moved, and secure_delete blanks
  // only those it frees: so every page of the table is given up, and the others are written anew.
  std::vector<Person> others;
  book_.each_person([&](const Person& other) {
    if (other.id != person) others.push_back(other);
  });
  book_.sql().run("DELETE FROM person");
  for (const Person& other : others) keep(other);
}

std::string Writing::keep_file(std::string_view bytes) {
  std::string digest = sha256_hex(bytes);
  if (!book_.file(digest)) book_.sql().run("INSERT INTO file VALUES (?, ?)", digest, Blob{bytes});
  return digest;
}

void Writing::rehearse(const std::function<void()>& what) {
  Sql& sql = book_.sql();
  sql.script("SAVEPOINT rehearsal");
  const auto undo = [&] {
    if (sql.in_transaction()) sql.script("ROLLBACK TO rehearsal; RELEASE rehearsal");
  };
  try {
    what();
  } catch (...) {
    undo();
    throw;
  }
  undo();
}

void Writing::commit() {
  // SQLite may have undone the transaction by itself (a full disk); a commit then would lie.
  if (!book_.sql().in_transaction())
    throw Error::book(
        fmt::format("The book {} undid the writing: nothing was written.", book_.path().string()));
  if (part_)
    book_.sql().script("RELEASE part");
  else
    book_.sql().commit();
  open_ = false;
}

}  // namespace trencher::book
