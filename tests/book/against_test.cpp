// A book held against what it was earlier: a last hash, an export, a backup.
#include "book/against.h"

#include "book/rescue.h"
#include "shop.h"

using namespace shop;

namespace {

// A book that went on after an export, a backup and a last hash were taken of it.
struct Later : Lived {
  Later() {
    text = exported(book());
    put_bytes(folder() / "earlier.jsonl", text);
    book::backup(book(), folder() / "earlier.db");
    hash = book().last_hash();
    count = book().entry_count();
    write(coat("26-001", "F1", {2}));
    write(coat("26-001", "F1", {3}));
  }
  book::Against with(const std::string& name) {
    Book now = Book::open(file());
    return book::against_file(now, book::verify(now), folder() / name);
  }
  book::Against with_hash(const std::string& typed) {
    Book now = Book::open(file());
    return book::against_hash(now, book::verify(now), book::typed_hash(typed).value());
  }
  // Alters entry `first` and hashes anew from there on, as somebody with the rules would.
  void write_anew(std::int64_t first) {
    std::vector<book::Entry> entries;
    std::string previous = book::first_previous_hash(book().id()), sql;
    book().each_entry([&](const book::Entry& entry) { entries.push_back(entry); });
    for (book::Entry& entry : entries) {
      if (entry.number == first) entry.happened.at += Seconds(60);
      entry.hash = book::entry_hash(previous, entry);
      previous = entry.hash;
      sql += "UPDATE entry SET hash = '" + entry.hash + "', happened_at = '" +
             iso(entry.happened.at) + "' WHERE number = " + std::to_string(entry.number) + ";";
    }
    tamper(file(), sql);
    rebuild();
  }
  void rebuild() {
    Book now = Book::open(file());
    Writing writing(now);
    writing.rebuild_state();
    writing.commit();
    REQUIRE(problems_of(now).empty());
  }

  std::string text, hash;
  std::int64_t count = 0;
};

}  // namespace

TEST_CASE("against: an earlier state that the book still holds") {
  Later shop;
  for (const char* name : {"earlier.jsonl", "earlier.db"}) {
    const auto found = shop.with(name);
    CHECK(found.fits);
    CHECK(found.contained_to == shop.count);
    CHECK(found.said == "This book holds all that " + (shop.folder() / name).string() +
                            " holds, entries 1 to " + std::to_string(shop.count) + ", unaltered.");
  }
  std::string spaced;
  for (std::size_t i = 0; i < shop.hash.size(); ++i) {
    if (i % 8 == 0) spaced += ' ';
    spaced += static_cast<char>(std::toupper(shop.hash[i]));
  }
  for (const std::string& typed : {shop.hash, spaced, shop.hash.substr(0, 16)}) {
    const auto found = shop.with_hash(typed);
    CHECK(found.fits);
    CHECK(found.contained_to == shop.count);
  }
}

TEST_CASE("against: a chain written anew shows by the file from which entry on and by the hash") {
  Later shop;
  shop.write_anew(20);
  for (const char* name : {"earlier.jsonl", "earlier.db"}) {
    const auto found = shop.with(name);
    CHECK_FALSE(found.fits);
    CHECK(found.differs_from == 20);
    CHECK(found.said.find("are the same up to entry 19 and differ from entry 20 on") !=
          std::string::npos);
  }
  CHECK_FALSE(shop.with_hash(shop.hash).fits);
}

TEST_CASE("against: a cut tail shows") {
  Later shop;
  tamper(shop.file(), "DELETE FROM entry WHERE number > " + std::to_string(shop.count - 3));
  shop.rebuild();
  for (const char* name : {"earlier.jsonl", "earlier.db"}) {
    const auto found = shop.with(name);
    CHECK_FALSE(found.fits);
    CHECK(found.differs_from == shop.count - 2);
    CHECK(found.said.find("cut off here, or written after") != std::string::npos);
  }
  CHECK_FALSE(shop.with_hash(shop.hash).fits);
}

TEST_CASE("against: another book shows") {
  Later shop, other;
  std::filesystem::copy(other.folder() / "earlier.jsonl", shop.folder() / "other.jsonl");
  std::filesystem::copy(other.folder() / "earlier.db", shop.folder() / "other.db");
  for (const char* name : {"other.jsonl", "other.db"}) {
    const auto found = shop.with(name);
    CHECK_FALSE(found.fits);
    CHECK(found.another_book);
  }
}

TEST_CASE("against: a book whose chain is broken shows nothing behind the break") {
  Later shop;
  tamper(shop.file(), "UPDATE entry SET written_by = 7 WHERE number = 8");
  const auto by_hash = shop.with_hash(shop.hash);
  CHECK_FALSE(by_hash.fits);
  CHECK(by_hash.said.find("from entry 8 on the chain cannot be trusted") != std::string::npos);
  const auto by_file = shop.with("earlier.db");
  CHECK_FALSE(by_file.fits);
  CHECK(by_file.said.find("from entry 8 on its chain cannot be trusted") != std::string::npos);
}

TEST_CASE("against: a file that was itself altered shows only what it can") {
  Later shop;
  std::string altered = shop.text;
  altered[altered.find("\"hash\"", altered.find("{\"number\":20,")) - 6] ^= 1;
  put_bytes(shop.folder() / "altered.jsonl", altered);
  const auto found = shop.with("altered.jsonl");
  CHECK_FALSE(found.fits);
  CHECK(found.contained_to == 19);
  // Cut: what it holds is compared all the same.
  put_bytes(shop.folder() / "cut.jsonl",
            shop.text.substr(0, shop.text.find("{\"number\":30,") + 9));
  CHECK(shop.with("cut.jsonl").fits);
  CHECK(shop.with("cut.jsonl").contained_to == 29);
  put_bytes(shop.folder() / "none.jsonl", "hello\n");
  CHECK(refusal([&] { shop.with("none.jsonl"); }) ==
        "book: " + (shop.folder() / "none.jsonl").string() +
            " is neither an export nor a backup of a book.");
}

TEST_CASE("against: what is no hash is none") {
  CHECK_FALSE(book::typed_hash("hello"));
  CHECK_FALSE(book::typed_hash(""));
  CHECK_FALSE(book::typed_hash("abcdef1"));
  CHECK_FALSE(book::typed_hash(std::string(65, 'a')));
  CHECK(book::typed_hash("ABCD-ef01 22") == "abcdef0122");
}

TEST_CASE("against: a rescued book held against the backup from before says what is lost here") {
  Later shop;
  tamper(shop.file(), "DELETE FROM entry WHERE number IN (12, 13)");
  const auto made = shop.folder() / "new.db";
  book::rescue(shop.file(), made, time("2027-01-01T00:00:00Z"));
  Book rescued = Book::open(made);
  const auto found =
      book::against_file(rescued, book::verify(rescued), shop.folder() / "earlier.db");
  CHECK(found.fits);
  CHECK(found.said.find("2 of them are lost here") != std::string::npos);
}
