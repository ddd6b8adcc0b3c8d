// Rescue of hurt books and exports: what is kept is proved, what is not is said.
#include "book/rescue.h"

#include "book/against.h"
#include "book/chain.h"
#include "book/kinds.h"
#include "book/proved.h"
#include "book/salvage.h"
#include "domain/text.h"
#include "shop.h"

using namespace shop;

namespace {

std::vector<book::Entry> entries_of(const std::filesystem::path& file) {
  std::vector<book::Entry> out;
  Book::open(file).each_entry([&](const book::Entry& entry) { out.push_back(entry); });
  return out;
}

bool same(const book::Entry& a, const book::Entry& b) {
  return a.number == b.number && a.hash == b.hash &&
         book::unproved_digest(a) == book::unproved_digest(b);
}

// A full book with its entries as they were, and what a rescue made of it after it was hurt.
struct Hurt {
  Hurt() : before(entries_of(shop.file())) {}

  book::RescueReport rescue() {
    std::filesystem::remove(made());
    const std::string bytes = bytes_of(shop.file());
    auto out = book::rescue(shop.file(), made(), time("2027-01-01T00:00:00Z"));
    CHECK(bytes_of(shop.file()) == bytes);
    CHECK(shop.folder().names() == std::vector<std::string>{"book.db", "new.db"});
    CHECK(mode_of(made()) == 0600);
    CHECK(problems_of(made()) == std::vector<std::string>{});
    return out;
  }
  // The numbers of entries that the rescued book lacks; all others are as they were.
  std::vector<std::int64_t> lost() {
    std::vector<std::int64_t> out;
    std::map<std::int64_t, book::Entry> now;
    for (book::Entry& entry : entries_of(made())) now[entry.number] = std::move(entry);
    for (const book::Entry& entry : before)
      if (const auto found = now.find(entry.number);
          found == now.end() || found->second.kind == book::rescued_kind)
        out.push_back(entry.number);
      else
        CHECK(same(found->second, entry));
    return out;
  }
  std::filesystem::path made() const { return shop.folder() / "new.db"; }
  void hurt(const std::string& sql) { tamper(shop.file(), sql); }

  const Copy shop;
  const std::vector<book::Entry> before;
};

using Numbers = std::vector<std::int64_t>;

}  // namespace

TEST_CASE("rescue: the search for rows finds what SQLite reads") {
  Lived shop;
  // A file and a note that need overflow pages.
  Json paper = statement("F1");
  {
    Writing writing(shop.book());
    std::string big;
    for (int i = 0; i < 30'000; ++i) big += static_cast<char>(i * 7 % 251);
    paper.set("file_sha256", writing.keep_file(big)).set("file_name", "big.pdf");
    paper.set("note", std::string(9'000, 'x'));
    writing.append("statement", paper, {{shop.tick(), 0}, shop.tick(), 1});
    writing.commit();
  }
  book::Salvage found;
  book::search_rows(bytes_of(shop.file()), 4096, found);
  CHECK(found.id == shop.book().id());
  std::int64_t entries = 0;
  shop.book().each_entry([&](const book::Entry& entry) {
    ++entries;
    INFO(entry.number);
    REQUIRE(found.entries[entry.number].size() == 1);
    CHECK(same(found.entries[entry.number].front(), entry));
  });
  CHECK(static_cast<std::int64_t>(found.entries.size()) == entries);
  std::set<std::string> seals, digests;
  shop.book().each_person([&](const book::Person& person) { seals.insert(seal(person)); });
  shop.book().each_file(
      [&](std::string_view sha256, std::string_view) { digests.emplace(sha256); });
  std::set<std::string> found_seals, found_digests;
  for (const book::Person& person : found.persons) found_seals.insert(seal(person));
  for (const auto& [sha256, bytes] : found.files) found_digests.insert(sha256);
  CHECK(found_seals == seals);
  CHECK(found_digests == digests);
}

TEST_CASE("rescue: a book that nothing hurt loses nothing") {
  Hurt book;
  const auto report = book.rescue();
  CHECK(book.lost() == Numbers{});
  CHECK(report.said.gaps.empty());
  CHECK(report.said.unproved.empty());
  CHECK(report.said.lost.empty());
  CHECK(report.said.given_out.empty());
  CHECK_FALSE(report.said.open_end);
  CHECK(report.entry == static_cast<std::int64_t>(book.before.size()) + 1);
  CHECK(Book::open(book.made()).id() == Book::open(book.shop.file()).id());
}

TEST_CASE("rescue: an altered entry is lost and the one behind it stays proved") {
  Hurt book;
  book.hurt("UPDATE entry SET body = replace(body, '50000', '60000') WHERE number = 20");
  const auto report = book.rescue();
  CHECK(book.lost() == Numbers{20});
  REQUIRE(report.said.gaps.size() == 1);
  CHECK(report.said.gaps.front().hash == book.before[19].hash);
  CHECK(report.said.unproved.empty());
}

TEST_CASE("rescue: behind an entry that is gone the next is unproved and the rest proved") {
  Hurt book;
  book.hurt("DELETE FROM entry WHERE number IN (12, 13)");
  const auto report = book.rescue();
  CHECK(book.lost() == Numbers{12, 13});
  REQUIRE(report.said.gaps.size() == 1);
  CHECK(report.said.gaps.front() == Gap{12, 13, ""});
  REQUIRE(report.said.unproved.size() == 1);
  CHECK(report.said.unproved.front().entry == 14);
  Book made = Book::open(book.made());
  const book::Verdict verdict = book::verify(made);
  CHECK(verdict.whole());
  CHECK(verdict.unproved == Numbers{14});
  CHECK(verdict.gaps.size() == 1);
  CHECK(verdict.trusted_to == verdict.last);
  CHECK(verdict.entries == verdict.last - 2);
}

TEST_CASE("rescue: an unproved entry that is altered later is noticed") {
  Hurt book;
  book.hurt("DELETE FROM entry WHERE number = 12");
  book.rescue();
  tamper(book.made(), "UPDATE entry SET written_by = 2 WHERE number = 13");
  CHECK(problems_of(book.made()).front() ==
        "Entry 13 was altered after it had been rescued; from there on the chain cannot be "
        "trusted.");
}

TEST_CASE("rescue: a hash that is hurt is mended where the entry behind proves it") {
  Hurt book;
  book.hurt("UPDATE entry SET hash = '" + std::string(64, '0') + "' WHERE number = 20");
  const auto report = book.rescue();
  CHECK(book.lost() == Numbers{});
  CHECK(report.said.rehashed == Numbers{20});
}

TEST_CASE("rescue: the last entry with a hurt hash is lost since nothing proves it") {
  Hurt book;
  const auto last = static_cast<std::int64_t>(book.before.size());
  book.hurt("UPDATE entry SET hash = '" + std::string(64, '0') +
            "' WHERE number = " + std::to_string(last));
  const auto report = book.rescue();
  CHECK(book.lost() == Numbers{last});
  CHECK(report.entry == last + 1);
}

TEST_CASE("rescue: an entry put in and all behind it shifted are told apart") {
  Hurt book;
  book.hurt(
      "UPDATE entry SET number = -number WHERE number >= 12; UPDATE entry SET number = 1 - number "
      "WHERE number < 0; INSERT INTO entry SELECT 12, happened_at, happened_offset, written_at, "
      "written_by, kind, kind_version, body, hash FROM entry WHERE number = 11");
  book.rescue();
  CHECK(book.lost() == Numbers{});
}

TEST_CASE("rescue: the first entry lost leaves a shop of which nothing is known") {
  Hurt book;
  book.hurt("DELETE FROM entry WHERE number IN (1, 2, 3)");
  const auto report = book.rescue();
  CHECK(book.lost() == Numbers{1, 2, 3});
  const Book made = Book::open(book.made());
  CHECK(workshop(made).maker == "lost: not known");
  CHECK(workers(made).size() == 1);
  CHECK_FALSE(workers(made).front().may_sign_off);
  CHECK(find_place(made, "garage")->name == "garage");
  std::set<std::string> lost;
  for (const auto& one : report.said.lost) lost.insert(one.id);
  CHECK(lost == std::set<std::string>{"worker:1", "place:garage", "workshop"});
}

TEST_CASE("rescue: what entries speak of though its own is lost has its id and no more") {
  Hurt book;
  book.hurt("DELETE FROM entry WHERE kind IN ('tin', 'batch', 'wood', 'product', 'mix')");
  book.rescue();
  const Book made = Book::open(book.made());
  const Batch batch = find_batch(made, "26-001").value();
  CHECK(batch.wood.empty());
  CHECK(batch.pieces == 4);
  CHECK(find_piece(made, book::piece_codes("26-001", {1}).front()).has_value());
  CHECK(find_tin(made, "F1")->name == "lost: not known");
  CHECK(is_lost_thing(made, "F1"));
  CHECK_FALSE(is_lost_thing(made, "F999"));
  CHECK(rescues_of(made).size() == 1);
}

TEST_CASE("rescue: no id that a lost entry may have made is given out again") {
  Hurt book;
  const auto next = [&](const char* prefix) {
    return next_number(Book::open(book.made()), prefix);
  };
  book.hurt("DELETE FROM entry WHERE number > 10 AND kind IN ('tin', 'mix', 'open', 'withdraw')");
  const auto report = book.rescue();
  CHECK(find_tin(Book::open(book.made()), "F3").has_value());
  CHECK(next("F") > 3);
  CHECK(next("X") > 1);
  std::int64_t lost = 0;
  for (const Gap& gap : report.said.gaps) lost += gap.last - gap.first + 1;
  CHECK(lost == static_cast<std::int64_t>(book.lost().size()));
}

TEST_CASE("rescue: sign-offs before a gap are open again") {
  Hurt book;
  const auto signed_off = [](const Book& of) {
    return of.sql().number("SELECT count(*) FROM piece WHERE signed_off > 0 AND given IS NULL");
  };
  REQUIRE(signed_off(Book::open(book.shop.file())) > 0);
  const auto last = static_cast<std::int64_t>(book.before.size());
  book.hurt("DELETE FROM entry WHERE number = " + std::to_string(last - 1));
  book.rescue();
  CHECK(signed_off(Book::open(book.made())) == 0);
}

TEST_CASE("rescue: a rescued book is written in and exported and imported and rescued again") {
  Hurt book;
  book.hurt("DELETE FROM entry WHERE number IN (9, 30)");
  book.rescue();
  {
    Book made = Book::open(book.made());
    Writing writing(made);
    writing.append("coat", coat("26-001", "F1", {2}).body(),
                   {{time("2027-01-02T00:00:00Z"), 0}, time("2027-01-02T00:00:00Z"), 1});
    writing.commit();
    CHECK(problems_of(made).empty());
    CHECK(refusal([&] {
            made.sql().run(
                "INSERT INTO entry SELECT 30, happened_at, happened_offset, written_at, written_by,"
                " kind, kind_version, body, hash FROM entry WHERE number = 29");
          }).find("appended") != std::string::npos);
  }
  const std::string text = exported(Book::open(book.made()));
  put_bytes(book.shop.folder() / "in.jsonl", text);
  book::import_lines(book.shop.folder() / "in.jsonl", book.shop.folder() / "again.db");
  CHECK(exported(Book::open(book.shop.folder() / "again.db")) == text);
  {
    Book made = Book::open(book.made());
    book::backup(made, book.shop.folder() / "backup.db");
  }
  CHECK(problems_of(book.shop.folder() / "backup.db").empty());
  CHECK(exported(Book::open(book.shop.folder() / "backup.db")) == text);
  // Hurt anew, in the middle of what was rescued: once beside the first gap, once the entry that
  // notes the gaps itself.
  const auto noted = static_cast<std::int64_t>(book.before.size()) + 1;
  for (const std::int64_t number : {std::int64_t{10}, std::int64_t{29}, noted}) {
    INFO(number);
    const auto second = book.shop.folder() / "second.db", third = book.shop.folder() / "third.db";
    std::filesystem::copy(book.made(), second);
    tamper(second, "DELETE FROM entry WHERE number = " + std::to_string(number));
    const auto report = book::rescue(second, third, time("2027-02-01T00:00:00Z"));
    CHECK(problems_of(third).empty());
    CHECK(report.entries == static_cast<std::int64_t>(book.before.size()) - 2 + 2 - 1);
    std::filesystem::remove(second);
    std::filesystem::remove(third);
  }
}

TEST_CASE("rescue: a person that does not fit or is forgotten or that no entry names stays out") {
  Lived shop;
  std::string robin;
  shop.book().each_person([&](const book::Person& person) {
    if (person.name == "Robin Example") robin = person.id;
  });
  std::string forgotten;
  shop.book().each_entry([&](const book::Entry& entry) {
    if (entry.kind == "forget") forgotten = Json::parse(entry.body).text("person");
  });
  tamper(shop.file(), "UPDATE person SET name = 'Rabin' WHERE id = '" + robin +
                          "'; INSERT INTO person VALUES ('" + forgotten + "', '" +
                          std::string(64, '0') + "', 'Somebody', ''), ('" + std::string(32, '1') +
                          "', '" + std::string(64, '0') + "', 'Nobody', ''); DELETE FROM file;");
  const auto made = shop.folder() / "new.db";
  const auto report = book::rescue(shop.file(), made, time("2027-01-01T00:00:00Z"));
  CHECK(report.said.left_out == 3);
  CHECK(report.said.persons == std::vector{robin});
  CHECK(report.said.files.size() == 1);
  Book rescued = Book::open(made);
  CHECK_FALSE(rescued.person(robin));
  CHECK_FALSE(rescued.person(forgotten));
  const book::Verdict verdict = book::verify(rescued);
  CHECK(verdict.whole());
  CHECK(verdict.persons_lost == 1);
  CHECK(verdict.files_lost == 1);
}

TEST_CASE("rescue: a hurt header or schema or root page loses no entry") {
  Hurt book;
  const std::string bytes = bytes_of(book.shop.file());
  for (const auto& [from, count] :
       {std::pair<std::size_t, std::size_t>{0, 100}, {0, 16}, {16, 8}, {100, 400}, {0, 3000}}) {
    INFO("bytes from " << from);
    std::string hurt = bytes;
    hurt.replace(from, count, count, '\x5a');
    put_bytes(book.shop.file(), hurt);
    const auto report = book.rescue();
    CHECK(book.lost() == Numbers{});
    CHECK(report.said.open_end);
    CHECK_FALSE(report.said.given_out.empty());
  }
}

TEST_CASE("rescue: each page blotted out in turn leaves a book that verifies") {
  Hurt book;
  const std::string bytes = bytes_of(book.shop.file());
  std::size_t losing = 0;
  for (std::size_t page = 0; page * 4096 < bytes.size(); ++page) {
    INFO("page " << page + 1);
    std::string hurt = bytes;
    hurt.replace(page * 4096, 4096, 4096, '\0');
    put_bytes(book.shop.file(), hurt);
    book.rescue();
    losing += !book.lost().empty();
  }
  CHECK(losing > 3);
}

TEST_CASE("rescue: a hot journal beside the damaged file is taken into account and left alone") {
  Hurt book;
  const std::string whole = bytes_of(book.shop.file());
  // As after a power cut in the middle of a commit: pages written, the journal still there.
  const auto cut = book.shop.folder() / "cut.db";
  std::filesystem::copy(book.shop.file(), cut);
  const pid_t child = ::fork();
  REQUIRE(child >= 0);
  if (child == 0) {
    SQLite::Database database(cut.string(), SQLite::OPEN_READWRITE);
    database.exec(
        "PRAGMA cache_size=1; PRAGMA cache_spill=1; BEGIN IMMEDIATE; DROP TRIGGER "
        "entry_is_never_removed; DELETE FROM entry WHERE number > 20;");
    for (int i = 0; i < 200; ++i)
      database.exec("INSERT INTO counter VALUES ('zz" + std::to_string(i) + "', 1)");
    ::_exit(0);
  }
  ::waitpid(child, nullptr, 0);
  REQUIRE(std::filesystem::exists(book.shop.folder() / "cut.db-journal"));
  REQUIRE(bytes_of(cut) != whole);
  const std::string before = bytes_of(cut),
                    journal = bytes_of(book.shop.folder() / "cut.db-journal");
  const auto report = book::rescue(cut, book.made(), time("2027-01-01T00:00:00Z"));
  CHECK(bytes_of(cut) == before);
  CHECK(bytes_of(book.shop.folder() / "cut.db-journal") == journal);
  CHECK(report.said.gaps.empty());
  CHECK(book.lost() == Numbers{});
}

TEST_CASE("rescue: out of an export that was cut or altered") {
  Hurt book;
  const std::string whole = exported(Book::open(book.shop.file()));
  const auto text = book.shop.folder() / "cut.jsonl";
  const auto rescue = [&](const std::string& lines) {
    put_bytes(text, lines);
    std::filesystem::remove(book.made());
    auto out = book::rescue(text, book.made(), time("2027-01-01T00:00:00Z"));
    CHECK(problems_of(book.made()).empty());
    return out;
  };
  const auto count = static_cast<std::int64_t>(book.before.size());
  SECTION("cut: its end and the id in its trailer are lost") {
    const auto report = rescue(whole.substr(0, whole.find("{\"number\":30,") + 40));
    CHECK(report.said.id_lost);
    CHECK(report.said.open_end);
    CHECK(report.entries == 29);
    REQUIRE(report.said.unproved.size() == 1);
    CHECK(report.said.unproved.front().entry == 1);
  }
  SECTION("a body altered") {
    std::string lines = whole;
    lines[lines.find("\"hash\"", lines.find("{\"number\":20,")) - 6] ^= 1;
    const auto report = rescue(lines);
    CHECK(report.entries == count - 1);
    CHECK(book.lost() == Numbers{20});
    CHECK_FALSE(report.said.open_end);
  }
  SECTION("lines gone at the end, by the trailer") {
    std::string lines = whole;
    const auto from = lines.find("{\"number\":" + std::to_string(count - 1));
    lines.erase(from, lines.find("{\"person\"") - from);
    const auto report = rescue(lines);
    CHECK(report.said.gaps == std::vector{Gap{count - 1, count, ""}});
    CHECK(report.entry == count + 1);
  }
  SECTION("the first brace altered") {
    std::string lines = whole;
    lines[0] = 'x';
    CHECK(rescue(lines).said.gaps == std::vector{Gap{1, 1, ""}});
  }
}

TEST_CASE("rescue: what is no book and what is there already is refused in one sentence") {
  Hurt book;
  const auto refused = [&](const std::string& name, const std::string& bytes) {
    put_bytes(book.shop.folder() / name, bytes);
    return refusal([&] {
      book::rescue(book.shop.folder() / name, book.made(), time("2027-01-01T00:00:00Z"));
    });
  };
  const std::string none = "book: Nothing in " + (book.shop.folder() / "x").string() +
                           " can be read as an entry of a book.";
  CHECK(refused("x", "") == none);
  CHECK(refused("x", "hello\n") == none);
  CHECK(refused("x", std::string(9000, '\0')) == none);
  CHECK(refused("x", bytes_of(book.shop.file()).substr(0, 4096)) == none);
  CHECK_FALSE(std::filesystem::exists(book.made()));
  put_bytes(book.made(), "mine");
  CHECK(
      refusal([&] { book::rescue(book.shop.file(), book.made(), time("2027-01-01T00:00:00Z")); }) ==
      "book: " + book.made().string() + " exists already; a new book never replaces a file.");
  CHECK(bytes_of(book.made()) == "mine");
  CHECK(refusal([&] { book::rescue(book.shop.folder() / "none", book.shop.folder() / "y", {}); }) ==
        "book: There is no file " + (book.shop.folder() / "none").string() + ".");
  CHECK(book.shop.folder().names() == std::vector<std::string>{"book.db", "new.db", "x"});
}

TEST_CASE("rescue: no room on the disk leaves nothing") {
  Hurt book;
  CHECK(refusal_without_room(60'000, [&] {
          book::rescue(book.shop.file(), book.made(), time("2027-01-01T00:00:00Z"));
        }).starts_with("book: "));
  CHECK(book.shop.folder().names() == std::vector<std::string>{"book.db"});
}
