#include "shop.h"

using namespace shop;

namespace {

std::string open_refusal(const std::filesystem::path& path) {
  return refusal([&] { Book::open(path); });
}

std::string sqlite_file(const Folder& folder, const std::string& script) {
  const auto path = folder / "other.db";
  SQLite::Database(path.string(), SQLite::OPEN_READWRITE | SQLite::OPEN_CREATE).exec(script);
  return path.string();
}

}  // namespace

TEST_CASE("book file: a new book is for its owner alone and stands without side files") {
  const Folder folder;
  const auto path = folder / "book.db";
  const mode_t before = ::umask(0);
  Book::create(path, begin);
  ::umask(before);
  CHECK(mode_of(path) == 0600);
  CHECK(folder.names() == std::vector<std::string>{"book.db"});
  Book book = Book::open(path);
  CHECK(book.entry_count() == 3);
  CHECK(book.id().size() == 32);
  CHECK(problems_of(book).empty());
  CHECK(bytes_of(path).substr(68, 4) == "TRNC");  // SQLite file format 1.3: application id
}

TEST_CASE("book file: the folders above a new book are made") {
  const Folder folder;
  Book::create(folder / "a/b/book.db", begin);
  CHECK(Book::open(folder / "a/b/book.db").entry_count() == 3);
}

TEST_CASE("book file: two new books have different ids") {
  const Shop one, two;
  CHECK(Book::open(one.file()).id() != Book::open(two.file()).id());
}

TEST_CASE("book file: a new book never replaces a file or what appears there meanwhile") {
  const Folder folder;
  const auto path = folder / "book.db";
  put_bytes(path, "mine");
  CHECK(refusal([&] { Book::create(path, begin); }) ==
        "book: " + path.string() + " exists already; a new book never replaces a file.");
  const auto late = folder / "late.db";
  CHECK(refusal([&] {
          Book::create(late, [&](Book& book) {
            begin(book);
            put_bytes(late, "somebody else's");
          });
        }) == "book: Cannot write " + late.string() + ": File exists.");
  CHECK(bytes_of(path) == "mine");
  CHECK(bytes_of(late) == "somebody else's");
  CHECK(folder.names() == std::vector<std::string>{"book.db", "late.db"});
}

TEST_CASE("book file: a beginning that fails leaves nothing") {
  const Folder folder;
  const auto path = folder / "book.db";
  CHECK(refusal([&] {
          Book::create(path, [](Book& book) {
            begin(book);
            Writing writing(book);
            writing.append("workshop", Json::object(), {});
          });
        }) != "nothing was refused");
  CHECK(folder.names().empty());
}

TEST_CASE("book file: a folder that cannot be written is named and stays empty") {
  const Folder folder;
  ::chmod(folder.path().c_str(), 0555);
  const std::string said = refusal_without_rights([&] { Book::create(folder / "book.db", begin); });
  CHECK(said ==
        "book: The book " + (folder / "book.db").string() + " cannot be made: Permission denied.");
  CHECK(folder.names().empty());
}

TEST_CASE("book file: a full disk is named and leaves nothing of a new book") {
  const Folder folder;
  for (const std::size_t room : {0u, 1000u, 4096u, 20'000u, 60'000u}) {
    const std::string said =
        refusal_without_room(room, [&] { Book::create(folder / "book.db", begin); });
    INFO(room);
    CHECK(said.starts_with("book: The disk "));
    CHECK(folder.names().empty());
  }
}

TEST_CASE("book file: a full disk stops a writing whole and the book is as before") {
  Stocked shop;
  const std::string before = exported(shop.book());
  const std::size_t size = bytes_of(shop.file()).size();
  const std::string said = refusal_without_room(size, [&] {
    Book book = Book::open(shop.file());
    Writing writing(book);
    const book::Stamp stamp{{shop.tick(), 0}, shop.tick(), 1};
    for (int i = 0; i < 200; ++i)
      writing.append(
          "note", Json::object().set("about", "26-001").set("text", std::string(900, 'x')), stamp);
    writing.commit();
  });
  CHECK(said.starts_with("book: The disk "));
  Book again = Book::open(shop.file());
  CHECK(exported(again) == before);
  CHECK(problems_of(again).empty());
  CHECK(shop.folder().names() == std::vector<std::string>{"book.db"});
}

TEST_CASE("book file: what is no book is not opened and is named") {
  const Folder folder;
  const std::string missing = (folder / "none.db").string();
  CHECK(open_refusal(missing) ==
        "book: There is no book at " + missing + "; 'trencher start' makes one.");
  CHECK(open_refusal(folder.path()) ==
        "book: " + folder.path().string() + " is not a file, so it is no book.");
  for (const char* bytes : {"", "just some text that goes on and on, and is no database at all"}) {
    put_bytes(folder / "text.db", bytes);
    CHECK(open_refusal(folder / "text.db") ==
          "book: " + (folder / "text.db").string() + " is no book of Trencher's.");
    CHECK(bytes_of(folder / "text.db") == bytes);
  }
  const std::string other = sqlite_file(folder, "CREATE TABLE entry(number)");
  CHECK(open_refusal(other) == "book: " + other + " is no book of Trencher's.");
}

TEST_CASE("book file: a newer layout is left to a newer program") {
  const Shop shop;
  tamper(shop.file(), "PRAGMA user_version = 4");
  CHECK(open_refusal(shop.file()) ==
        "book: The book " + shop.file().string() +
            " has layout 4, and this program knows 3: a newer Trencher "
            "made it.");
  tamper(shop.file(), "PRAGMA user_version = 0");
  CHECK(open_refusal(shop.file()).ends_with("and this program knows 3: it is damaged."));
}

TEST_CASE("book file: a book without its id is damaged") {
  const Shop shop;
  tamper(shop.file(), "DELETE FROM book");
  CHECK(open_refusal(shop.file()) ==
        "book: The book " + shop.file().string() + " is damaged: its id is gone.");
}

TEST_CASE("book file: a book that cannot be read is named") {
  Stocked shop;
  ::chmod(shop.folder().path().c_str(), 0755);
  const std::string said = refusal_without_rights([&] { Book::open(shop.file()); });
  if (::geteuid() == 0)  // another's book: mode 0600 keeps everybody else out
    CHECK(said == "book: The book " + shop.file().string() + " cannot be opened or written there.");
}

TEST_CASE("book file: a read-only book is read and verified but not written") {
  Lived shop;
  ::chmod(shop.file().c_str(), 0444);
  ::chmod(shop.folder().path().c_str(), 0555);
  const std::string said = refusal_without_rights([&] {
    Book book = Book::open(shop.file());
    if (book.entry_count() < 20) throw Error::request("entries cannot be read");
    if (!problems_of(book).empty()) throw Error::request(problems_of(book).front());
    Writing writing(book);
    writing.append("place", Place{"shed", "Shed", {}, {}}.body(), {});
  });
  CHECK(said == "book: The book " + shop.file().string() +
                    " cannot be written: the file or its folder is read-only.");
}

TEST_CASE("book file: a second writer is told that the book is in use") {
  Shop shop;
  Book other = Book::open(shop.file());
  other.sql().database().setBusyTimeout(20);  // the sentence is what is tested, not the wait
  const Writing first(shop.book());
  CHECK(refusal([&] { Writing second(other); }) ==
        "book: This command has waited 5 seconds for the book " + shop.file().string() +
            ", which another program or computer is using; nothing was written. Let that end, then "
            "do this again.");
}

TEST_CASE("book file: a reader sees what was committed while another writes") {
  Shop shop;
  Book reader = Book::open(shop.file());
  {
    Writing writing(shop.book());
    writing.append("place", Place{"shed", "Shed", {}, {}}.body(),
                   {{shop.tick(), 0}, shop.tick(), 1});
    CHECK(reader.entry_count() == 3);
    writing.commit();
  }
  CHECK(reader.entry_count() == 4);
}

TEST_CASE("book file: a writer that dies half way leaves the book as it was") {
  Stocked shop;
  const std::string before = exported(shop.book()), bytes = bytes_of(shop.file());
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    Book book = Book::open(shop.file());
    book.sql().script("PRAGMA cache_size = 10");  // so that pages reach the file before a commit
    Writing writing(book);
    for (int i = 0; i < 300; ++i)
      writing.append("note",
                     Json::object().set("about", "26-001").set("text", std::string(900, 'x')), {});
    ::_exit(0);  // as if the power had gone: nothing is rolled back or closed
  }
  ::waitpid(child, nullptr, 0);
  CHECK(shop.folder().names() == std::vector<std::string>{"book.db", "book.db-journal"});
  CHECK(bytes_of(shop.file()) != bytes);
  Book again = Book::open(shop.file());
  CHECK(exported(again) == before);
  CHECK(problems_of(again).empty());
}

TEST_CASE("book file: several writers at once make one chain") {
  Stocked shop;
  const auto count = shop.book().entry_count();
  constexpr int writers = 3, each = 15;
  for (int writer = 0; writer < writers; ++writer) {
    if (const pid_t child = ::fork(); child == 0) {
      const std::string said = refusal([&] {
        Book book = Book::open(shop.file());
        for (int i = 0; i < each; ++i) {
          Writing writing(book);
          const std::string id = "F" + std::to_string(next_number(book, "F"));
          writing.append("tin", tin(id, "finish").body(), {{}, {}, writer});
          writing.commit();
        }
      });
      ::_exit(said == "nothing was refused" ? 0 : 1);
    }
  }
  for (int writer = 0; writer < writers; ++writer) {
    int status = 0;
    ::wait(&status);
    CHECK(status == 0);
  }
  CHECK(shop.book().entry_count() == count + writers * each);
  CHECK(ids_of_class(shop.book(), "finish").size() == 1 + writers * each);
  CHECK(problems_of(shop.book()).empty());
}
