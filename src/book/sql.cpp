#include "book/sql.h"

#include <fcntl.h>
#include <fmt/format.h>
#include <sqlite3.h>
#include <sys/stat.h>
#include <unistd.h>

#include <fstream>
#include <sstream>

#include "book/insert_many.h"
#include "domain/atomic_file.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

constexpr int busy_timeout_ms = 5000;

std::string program_name(const std::string& process) {
  std::string name;
  std::getline(std::ifstream("/proc/" + process + "/comm"), name);
  return name.empty() ? "a program" : fmt::format("'{}'", name);
}

// Who holds the file, as the system lists its locks: "'trencher' (process 812) is writing in".
// Asking by fcntl would need another descriptor, and closing that would end our own locks.
std::string use_by_another(const std::filesystem::path& path) {
  struct stat there {};
  std::string reader;
  if (::stat(path.c_str(), &there) == 0) {
    const std::string inode = fmt::format(":{} ", there.st_ino);
    std::ifstream locks("/proc/locks");
    for (std::string line; std::getline(locks, line);) {
      if (line.find(inode) == std::string::npos) continue;
      std::istringstream words(line);
      std::string number, kind, rule, access, process;
      words >> number >> kind >> rule >> access >> process;
      if (process == std::to_string(::getpid())) continue;
      const std::string who = fmt::format("{} (process {})", program_name(process), process);
      if (access == "WRITE") return who + " is writing in";
      reader = who + " is reading in";
    }
  }
  return reader.empty() ? "another program or computer is using" : reader;
}

}  // namespace

void Row::values(std::vector<Value>& out) const {
  out.clear();
  const int columns = sqlite3_column_count(statement_);
  for (int i = 0; i < columns; ++i) {
    const int type = sqlite3_column_type(statement_, i);
    if (type == SQLITE_INTEGER)
      out.emplace_back(number(i));
    else if (type == SQLITE_NULL)
      out.emplace_back();
    else
      out.emplace_back(view(i));
  }
}

Sql::Sql(const std::filesystem::path& path, int flags, bool wait) : path_(path) {
  try {
    // Before SQLite is first used: nobody asks how much memory it has, and counting takes a lock.
    [[maybe_unused]] static const int uncounted = sqlite3_config(SQLITE_CONFIG_MEMSTATUS, 0);
    // A connection is one thread's at a time: its own lock would be taken thousands of times.
    database_ = std::make_unique<SQLite::Database>(path.string(), flags | SQLite::OPEN_NOMUTEX,
                                                   wait ? busy_timeout_ms : 0);
    sqlite3* handle = database_->getHandle();
    // A misspelt column in double quotes must fail, not be taken for text.
    sqlite3_db_config(handle, SQLITE_DBCONFIG_DQS_DML, 0, nullptr);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_DQS_DDL, 0, nullptr);
    sqlite3_db_config(handle, SQLITE_DBCONFIG_TRUSTED_SCHEMA, 0, nullptr);
    know_held_rows(handle);
    database_->exec(
        "PRAGMA synchronous=FULL; PRAGMA secure_delete=ON; PRAGMA temp_store=MEMORY;"
        "PRAGMA recursive_triggers=ON; PRAGMA mmap_size=0;");
  } catch (const SQLite::Exception& failure) {
    fail(failure, path_);
  }
}

Sql Sql::open(const std::filesystem::path& path, bool wait) {
  const bool writable = ::access(path.c_str(), W_OK) == 0;
  return {path, writable ? SQLite::OPEN_READWRITE : SQLite::OPEN_READONLY, wait};
}

Sql Sql::create(const std::filesystem::path& path) {
  // Made by us first, so that nobody else may read it at any moment.
  const int file = ::open(path.c_str(), O_CREAT | O_EXCL | O_RDWR | O_CLOEXEC, 0600);
  if (file < 0)
    throw Error::book(fmt::format("The book {} cannot be made: {}.", path.string(),
                                  std::error_code(errno, std::generic_category()).message()));
  ::close(file);
  return {path, SQLite::OPEN_READWRITE};
}

Sql Sql::in_memory() { return {":memory:", SQLite::OPEN_READWRITE}; }

void Sql::script(const std::string& sql) {
  try {
    database_->exec(sql);
  } catch (const SQLite::Exception& failure) {
    fail(failure, path_);
  }
}

void Sql::commit() {
  script("COMMIT");
  flush_folder_of(path_);
}

bool Sql::in_transaction() const { return sqlite3_get_autocommit(database_->getHandle()) == 0; }

namespace {

// While it lives, SQLite tells how much of a copy is in its file.
class CopyWatch {
 public:
  CopyWatch(sqlite3* database, const std::filesystem::path& target, std::int64_t bytes,
            const std::function<void(std::int64_t, std::int64_t)>& progress)
      : database_(database), target_(target), bytes_(bytes), progress_(progress) {
    if (progress_) sqlite3_progress_handler(database_, steps, &CopyWatch::look, this);
  }
  ~CopyWatch() { sqlite3_progress_handler(database_, 0, nullptr, nullptr); }
  CopyWatch(const CopyWatch&) = delete;
  CopyWatch& operator=(const CopyWatch&) = delete;

 private:
  static constexpr int steps = 50'000;  // of SQLite's machine: some milliseconds

  static int look(void* self) {
    const auto& watch = *static_cast<const CopyWatch*>(self);
    std::error_code none;
    const std::uintmax_t written = std::filesystem::file_size(watch.target_, none);
    if (!none)
      watch.progress_(std::min(static_cast<std::int64_t>(written), watch.bytes_), watch.bytes_);
    return 0;
  }

  sqlite3* database_;
  const std::filesystem::path& target_;
  std::int64_t bytes_;
  const std::function<void(std::int64_t, std::int64_t)>& progress_;
};

}  // namespace

void Sql::copy_into(const std::filesystem::path& target,
                    const std::function<void(std::int64_t, std::int64_t)>& progress) {
  const auto bytes =
      number("PRAGMA page_count").value_or(0) * number("PRAGMA page_size").value_or(0);
  try {
    const CopyWatch watch(database_->getHandle(), target, bytes, progress);
    SQLite::Statement copy(*database_, "VACUUM main INTO ?");
    copy.bind(1, target.string());
    copy.exec();
  } catch (const SQLite::Exception& failure) {
    fail(failure, target);  // it is the target's disk that takes no more
  }
}

void Sql::fail(const SQLite::Exception& failure, const std::filesystem::path& path) {
  const std::string file = path.string();
  switch (failure.getErrorCode()) {
    case SQLITE_FULL:
      throw Error::book(fmt::format("The disk is full: nothing was written to the book {}.", file));
    case SQLITE_BUSY:
    case SQLITE_LOCKED:
      throw Error::book(fmt::format(
          "This command has waited {} seconds for the book {}, which {}; nothing was written. Let "
          "that end, then do this again.",
          busy_timeout_ms / 1000, file, use_by_another(path)));
    case SQLITE_READONLY:
      throw Error::book(
          fmt::format("The book {} cannot be written: the file or its folder is read-only.", file));
    case SQLITE_CANTOPEN:
      throw Error::book(fmt::format("The book {} cannot be opened or written there.", file));
    case SQLITE_NOTADB:
      throw Error::book(fmt::format("{} is no book of Trencher's.", file));
    case SQLITE_CORRUPT:
      throw Error::book(fmt::format("The book {} is damaged: {}.", file, failure.what()));
    case SQLITE_IOERR:
      throw Error::book(
          fmt::format("The disk failed while the book {} was in use: {}; nothing was written.",
                      file, failure.getErrorStr()));
    default:
      throw Error::book(fmt::format("The book {} refused: {}.", file, failure.what()));
  }
}

Snapshot::Snapshot(Sql& sql) : sql_(sql), own_(!sql.in_transaction()) {
  if (own_) sql_.script("BEGIN");
}

Snapshot::~Snapshot() {
  try {
    if (own_ && sql_.in_transaction()) sql_.script("ROLLBACK");
  } catch (const std::exception&) {
    // Nothing was written; closing the file ends it.
  }
}

Sql::Borrowed::Borrowed(Sql& sql, const std::string& text) : sql_(sql), text_(text) {
  if (const auto kept = sql.store_.find(text); kept != sql.store_.end() && kept->second) {
    statement_ = std::move(kept->second);
  } else {
    sqlite3_stmt* made = nullptr;
    need(sqlite3_prepare_v2(sql.database_->getHandle(), text.c_str(),
                            static_cast<int>(text.size()) + 1, &made, nullptr));
    statement_.reset(made);
  }
}

bool Sql::Borrowed::step() {
  const int code = sqlite3_step(statement_.get());
  if (code != SQLITE_DONE && code != SQLITE_ROW) need(code);
  return code == SQLITE_ROW;
}

void Sql::Borrowed::need(int code) const {
  if (code != SQLITE_OK) throw SQLite::Exception(sql_.database_->getHandle(), code);
}

Sql::Borrowed::~Borrowed() {
  sqlite3_reset(statement_.get());
  sqlite3_clear_bindings(statement_.get());
  try {
    sql_.store_[text_] = std::move(statement_);
  } catch (const std::exception&) {
    // Not kept: the next use prepares it anew.
  }
}

}  // namespace trencher::book
