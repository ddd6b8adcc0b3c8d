#include "book/kinds.h"
#include "domain/text.h"
#include "shop.h"

using namespace shop;
using book::Entry;

namespace {

std::string sql_refusal(Book& book, const std::string& sql) {
  const std::string said = refusal([&] { book.sql().script(sql); });
  const auto colon = said.find("refused: ");
  return colon == std::string::npos ? said : said.substr(colon + 9);
}

}  // namespace

TEST_CASE("journal: netstrings count bytes and not letters") {
  CHECK(book::netstring("") == "0:,");
  CHECK(book::netstring("hello world!") == "12:hello world!,");  // the specification's own example
  CHECK(book::netstring("\xC3\xB6") == "2:\xC3\xB6,");
}

TEST_CASE("journal: each hash follows from the one before and from every column") {
  Lived shop;
  std::string previous = sha256_hex(shop.book().id());
  std::int64_t number = 0;
  shop.book().each_entry([&](const Entry& entry) {
    CHECK(entry.number == ++number);
    std::string bytes = "10:trencher-1,64:" + previous + ",";
    for (const std::string& field : {std::to_string(entry.number), iso(entry.happened.at),
                                     std::to_string(entry.happened.offset_minutes),
                                     iso(entry.written_at), std::to_string(entry.written_by),
                                     entry.kind, std::to_string(entry.kind_version), entry.body})
      bytes += std::to_string(field.size()) + ":" + field + ",";
    CHECK(entry.hash == sha256_hex(bytes));
    previous = entry.hash;
  });
  CHECK(number == shop.book().entry_count());
  CHECK(previous == shop.book().last_hash());
}

TEST_CASE("journal: an empty chain ends in the hash of the book's id") {
  const Folder folder;
  Book::create(
      folder / "book.db", [](Book&) {}, std::string(32, 'a'));
  const Book book = Book::open(folder / "book.db");
  CHECK(book.entry_count() == 0);
  CHECK(book.last_hash() == sha256_hex(std::string(32, 'a')));
  CHECK(book.last_hash() == book::first_previous_hash(book.id()));
}

TEST_CASE("journal: an entry is read as it was written") {
  Stocked shop;
  Writing writing(shop.book());
  const Json body = Json::object().set("text", "wiped \"off\"\nat dusk").set("about", "26-001");
  const Moment happened{time("2025-12-31T23:59:59Z"), -330};
  const auto number = writing.append("note", body, {happened, time("2026-02-03T04:05:06Z"), 1});
  writing.commit();
  const Entry entry = shop.book().entry(number).value();
  CHECK(entry.number == 8);
  CHECK(entry.happened == happened);
  CHECK(entry.written_at == time("2026-02-03T04:05:06Z"));
  CHECK(entry.written_by == 1);
  CHECK(entry.kind == "note");
  CHECK(entry.kind_version == 1);
  CHECK(entry.body == R"({"about":"26-001","text":"wiped \"off\"\nat dusk"})");
  CHECK_FALSE(shop.book().entry(9).has_value());
}

TEST_CASE("journal: the file itself refuses to alter or remove or replace or skip") {
  Lived shop;
  Book& book = shop.book();
  const std::string before = exported(book);
  CHECK(sql_refusal(book, "UPDATE entry SET body = '{}' WHERE number = 4") ==
        "the journal is never altered.");
  CHECK(sql_refusal(book, "UPDATE entry SET number = 99 WHERE number = 4") ==
        "the journal is never altered.");
  CHECK(sql_refusal(book, "DELETE FROM entry WHERE number = 4") ==
        "nothing is removed from the journal.");
  const std::string row =
      ", written_at, 0, written_at, 1, 'note', 1, body, hash FROM entry WHERE number = 4";
  for (const char* number : {"1", "4", "max(number)", "max(number) + 2", "NULL", "0", "-1"}) {
    INFO(number);
    for (const char* how : {"INSERT", "INSERT OR REPLACE", "INSERT OR IGNORE", "REPLACE"})
      CHECK(sql_refusal(book, std::string(how) + " INTO entry SELECT (SELECT " + number +
                                  " FROM entry)" + row) ==
            "an entry is appended with the next number.");
  }
  CHECK(sql_refusal(book, "UPDATE book SET id = '" + std::string(32, '0') + "'") ==
        "the id of a book is never altered.");
  CHECK(sql_refusal(book, "DELETE FROM book") == "the id of a book is never removed.");
  CHECK(sql_refusal(book, "INSERT OR REPLACE INTO book VALUES ('" + std::string(32, '0') +
                              "', 1)") == "the id of a book is never removed.");
  CHECK(sql_refusal(book, "UPDATE person SET name = 'X'") ==
        "a person is forgotten or kept, never altered.");
  CHECK(sql_refusal(book, "UPDATE file SET bytes = x'00'") == "a file is never altered.");
  CHECK(sql_refusal(book, "DELETE FROM file") == "a file is never removed.");
  CHECK(exported(book) == before);
  CHECK(problems_of(book).empty());
}

TEST_CASE("journal: another program with SQLite's usual settings is refused too") {
  Lived shop;
  SQLite::Database plain(shop.file().string(), SQLite::OPEN_READWRITE);
  const auto refused = [&](const char* sql) {
    try {
      plain.exec(sql);
    } catch (const SQLite::Exception& failure) {
      return std::string(failure.what());
    }
    return std::string("accepted");
  };
  CHECK(refused("UPDATE entry SET kind = 'note'") == "the journal is never altered");
  CHECK(refused("DELETE FROM entry") == "nothing is removed from the journal");
  CHECK(refused("INSERT OR REPLACE INTO entry SELECT * FROM entry WHERE number = 2") ==
        "an entry is appended with the next number");
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("journal: a writing that is not committed leaves nothing") {
  Lived shop;
  const std::string before = exported(shop.book());
  const std::string bytes = bytes_of(shop.file());
  {
    Writing writing(shop.book());
    writing.keep(book::new_person("Gone Example", ""));
    writing.keep_file("gone");
    writing.append("place", Place{"shed", "Shed", {}, {}}.body(),
                   {{shop.tick(), 0}, shop.tick(), 1});
  }
  CHECK(exported(shop.book()) == before);
  CHECK(bytes_of(shop.file()) == bytes);
  CHECK_FALSE(book::find_place(shop.book(), "shed").has_value());
  CHECK(problems_of(shop.book()).empty());
  CHECK(shop.folder().names() == std::vector<std::string>{"book.db"});
}

TEST_CASE("journal: an unknown kind or a body that lacks a member is refused whole") {
  Stocked shop;
  const auto count = shop.book().entry_count();
  CHECK(refusal([&] { shop.write("blessing", Json::object()); }) ==
        "book: The book holds an entry of kind 'blessing', version 1, which this program does not "
        "know; "
        "a newer Trencher wrote it.");
  CHECK(refusal([&] { shop.write("note", Json::object().set("text", "x")); }) ==
        "book: An entry of the book has no member called 'about': the book is damaged or not "
        "Trencher's.");
  Json none = batch("26-002", 0, {}, {}).body(), many = batch("26-002", 1000, {}, {}).body();
  CHECK(refusal([&] { shop.write("batch", none); }) ==
        "book: The book holds a batch of 0 pieces; a batch has 1 to 999.");
  CHECK(refusal([&] { shop.write("batch", many); }) ==
        "book: The book holds a batch of 1000 pieces; a batch has 1 to 999.");
  CHECK(shop.book().entry_count() == count);
}

TEST_CASE("journal: an amendment names an entry before it and a correction no other amendment") {
  Stocked shop;
  const auto count = shop.book().entry_count();
  CHECK(refusal([&] { shop.strike(count + 1); }) ==
        "book: Entry 8 is a strike of entry 8, which is none before it that can be so amended.");
  CHECK(refusal([&] { shop.strike(0); }).starts_with("book: Entry 8 is a strike of entry 0"));
  CHECK(refusal([&] {
          shop.correct(99, Json::object());
        }).starts_with("book: Entry 8 is a correction of entry 99"));
  const auto correction = shop.correct(shop.batch_entry, batch("26-001", 5, {"W1"}, {"F1"}).body());
  CHECK(refusal([&] {
          shop.correct(correction, batch("26-001", 6, {"W1"}, {"F1"}).body());
        }).starts_with("book: Entry 9 is a correction of entry 8"));
  CHECK(refusal([&] {
          shop.correct(shop.batch_entry, Json::object().set("batch", "26-001"));
        }).starts_with("book: An entry of the book has no"));
  CHECK(shop.book().entry_count() == correction);
}

TEST_CASE("journal: persons and files come back as they were kept") {
  Shop shop;
  const book::Person person = shop.keep("Åsa Example");
  const book::Person again = shop.book().person(person.id).value();
  CHECK(again.name == "Åsa Example");
  CHECK(seal(again) == seal(person));
  CHECK(person.id.size() == 32);
  CHECK(person.salt.size() == 64);
  CHECK_FALSE(shop.book().person(std::string(32, '0')).has_value());
  for (const std::string& bytes :
       {std::string(), std::string("\0\xFF\n", 3), std::string(100'000, 'x')}) {
    Writing writing(shop.book());
    const std::string digest = writing.keep_file(bytes);
    CHECK(writing.keep_file(bytes) == digest);  // twice is once
    writing.commit();
    CHECK(digest == sha256_hex(bytes));
    CHECK(shop.book().file(digest).value() == bytes);
  }
}

TEST_CASE("journal: a seal changes with every part of a person") {
  const book::Person person{std::string(32, 'a'), std::string(64, 'b'), "Sam", "here"};
  const auto differs = [&](auto change) {
    book::Person other = person;
    change(other);
    return seal(other) != seal(person);
  };
  CHECK(differs([](auto& p) { p.id[0] = 'c'; }));
  CHECK(differs([](auto& p) { p.salt[0] = 'c'; }));
  CHECK(differs([](auto& p) {
    p.name = "Sa";
    p.contact = "mhere";
  }));  // no letter moves unseen
  CHECK(differs([](auto& p) { p.contact = ""; }));
}

TEST_CASE("journal: a body that lacks what its kind must have is refused") {
  const auto lacks = [](const char* kind, const char* body, const std::string& member) {
    INFO(kind << " " << body);
    try {
      book::facts_of(kind, 1, Json::parse(body));
      FAIL("not refused");
    } catch (const Error& failure) {
      CHECK(std::string(failure.what()).find("'" + member + "'") != std::string::npos);
    }
  };
  lacks("note", R"({"about":"26-001"})", "text");
  lacks("note", R"({"text":"x"})", "about");
  lacks("strike", R"({"entry":3})", "why");
  lacks("correction", R"({"why":"x","body":{}})", "entry");
  lacks("wood", R"({"lot":"W1"})", "species");
  lacks("give", R"({"batch":"26-001","pieces":[1],"person":"x"})", "seal");
}
