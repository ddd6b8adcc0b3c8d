#include <random>

#include "domain/text.h"
#include "shop.h"

using namespace shop;

namespace {

std::vector<std::string> lines_of(const std::string& text) {
  std::vector<std::string> out;
  for (std::size_t at = 0; at < text.size();) {
    const std::size_t end = text.find('\n', at);
    out.push_back(text.substr(at, end - at));
    at = end + 1;
  }
  return out;
}

// An export to import from; `import` says what it refuses, or nothing.
struct Export {
  Export() : whole(exported(Book::open(shop.file()))), lines(lines_of(whole)) {}

  std::string import(const std::string& text) {
    put_bytes(folder / "in.jsonl", text);
    std::filesystem::remove(folder / "out.db");
    const std::string said =
        refusal([&] { book::import_lines(folder / "in.jsonl", folder / "out.db"); });
    const bool made = std::filesystem::exists(folder / "out.db");
    CHECK(folder.names().size() == (made ? 2 : 1));  // nothing else is left behind
    CHECK(made == (said == "nothing was refused"));
    return said;
  }
  std::string import(const std::vector<std::string>& changed) {
    return import(join(changed, "\n") + "\n");
  }
  // Refused with these words, and nothing left.
  void refuses(const std::vector<std::string>& changed, std::string_view why) {
    const std::string said = import(changed);
    INFO(said);
    CHECK(said.starts_with("book: " + (folder / "in.jsonl").string()));
    CHECK(said.find(why) != std::string::npos);
  }
  std::size_t line_with(std::string_view text) const {
    for (std::size_t i = 0; i < lines.size(); ++i)
      if (lines[i].find(text) != std::string::npos) return i;
    return lines.size();
  }

  const Copy shop;
  const std::string whole;
  const std::vector<std::string> lines;
  const Folder folder;
};

}  // namespace

TEST_CASE("export: one line an entry then the vault then the trailer") {
  const Export from;
  const Book book = Book::open(from.shop.file());
  const auto count = static_cast<std::size_t>(book.entry_count());
  REQUIRE(from.lines.size() == count + 4 + 1 + 1);  // four persons, a file, the trailer
  for (std::size_t i = 0; i < count; ++i) {
    const Json line = Json::parse(from.lines[i]);
    const book::Entry entry = book.entry(static_cast<std::int64_t>(i) + 1).value();
    CHECK(line.integer("number") == entry.number);
    CHECK(line.text("happened_at") == iso(entry.happened.at));
    CHECK(line.integer("happened_offset") == entry.happened.offset_minutes);
    CHECK(line.text("written_at") == iso(entry.written_at));
    CHECK(line.integer("written_by") == entry.written_by);
    CHECK(line.text("kind") == entry.kind);
    CHECK(line.integer("kind_version") == entry.kind_version);
    CHECK(line.text("body") == entry.body);
    CHECK(line.text("hash") == entry.hash);
  }
  CHECK(from_base64(Json::parse(from.lines[count + 4]).at("file").text("base64")) ==
        std::string("a paper\0of bytes\xFF", 17));
  const Json trailer = Json::parse(from.lines.back()).at("trailer");
  CHECK(trailer.text("book") == book.id());
  CHECK(trailer.integer("entries") == book.entry_count());
  CHECK(trailer.integer("persons") == 4);
  CHECK(trailer.integer("files") == 1);
  CHECK(trailer.text("last_hash") == book.last_hash());
}

TEST_CASE("export: a failure to write ends it and the book can be exported again") {
  const Export from;
  const Book book = Book::open(from.shop.file());
  int lines = 0;
  const auto write = [&](std::string_view) {
    if (++lines == 3) throw Error::book("no room");
  };
  CHECK(refusal([&] { book::export_lines(book, write); }) == "book: no room");
  CHECK(exported(book) == from.whole);
}

TEST_CASE("import: an export becomes the same book") {
  Export from;
  put_bytes(from.folder / "in.jsonl", from.whole);
  CHECK(book::import_lines(from.folder / "in.jsonl", from.folder / "out.db") ==
        Book::open(from.shop.file()).entry_count());
  Book made = Book::open(from.folder / "out.db");
  CHECK(made.id() == Book::open(from.shop.file()).id());
  CHECK(made.last_hash() == Book::open(from.shop.file()).last_hash());
  CHECK(exported(made) == from.whole);
  CHECK(problems_of(made).empty());
  CHECK(mode_of(from.folder / "out.db") == 0600);
  CHECK(from.folder.names() == std::vector<std::string>{"in.jsonl", "out.db"});
}

TEST_CASE("import: the imported book goes on from where the other stood") {
  Stocked shop;
  put_bytes(shop.folder() / "in.jsonl", exported(shop.book()));
  book::import_lines(shop.folder() / "in.jsonl", shop.folder() / "out.db");
  Book made = Book::open(shop.folder() / "out.db");
  const book::Stamp stamp{{shop.tick(), 60}, shop.tick(), 1};
  for (Book* book : {&shop.book(), &made}) {
    Writing writing(*book);
    writing.append("coat", coat("26-001", "F1").body(), stamp);
    writing.commit();
  }
  CHECK(exported(made) == exported(shop.book()));
  CHECK(problems_of(made).empty());
}

TEST_CASE("import: a file cut at any line is refused") {
  Export from;
  for (std::size_t keep = 0; keep < from.lines.size(); ++keep) {
    INFO(keep);
    from.refuses({from.lines.begin(), from.lines.begin() + static_cast<std::ptrdiff_t>(keep)},
                 "does not end with the trailer of an export: it was cut short");
  }
}

TEST_CASE("import: a file cut inside its last lines is refused") {
  Export from;
  for (std::size_t less = 1; less < 400; less += 7) {
    INFO(less);
    CHECK(from.import(from.whole.substr(0, from.whole.size() - less)).starts_with("book: "));
  }
}

TEST_CASE("import: a missing line is refused wherever it stood") {
  Export from;
  for (std::size_t gone = 0; gone + 1 < from.lines.size(); ++gone) {
    auto lines = from.lines;
    lines.erase(lines.begin() + static_cast<std::ptrdiff_t>(gone));
    INFO(gone);
    CHECK(from.import(lines).starts_with("book: " + (from.folder / "in.jsonl").string()));
  }
}

TEST_CASE("import: a strike is found however its line is spelt, or is refused") {
  Export from;
  std::vector<std::string> lines = from.lines;
  std::string& line = lines.at(from.line_with(R"("kind":"strike")"));
  const std::string as_written = line;
  line.replace(line.find(R"("kind":"strike")"), 15, R"("kind" : "strike")");
  CHECK(from.import(lines) == "nothing was refused");
  CHECK(problems_of(*std::make_unique<Book>(Book::open(from.folder / "out.db"))).empty());
  CHECK(exported(Book::open(from.folder / "out.db")) == from.whole);
  line = as_written;
  line.replace(line.find("strike"), 6, R"(str\u0069ke)");
  from.refuses(lines, "is not written as an export writes it");
}

TEST_CASE("import: lines out of order or twice or after the trailer are refused") {
  Export from;
  auto lines = from.lines;
  std::swap(lines[8], lines[9]);
  from.refuses(lines, " line 9: Entry 10 does not follow from the entry before it");
  lines = from.lines;
  lines.insert(lines.begin() + 5, lines[4]);
  from.refuses(lines, " line 6: Entry 5 does not follow from the entry before it");
  lines = from.lines;
  lines.push_back(lines.front());
  from.refuses(lines, "does not end with the trailer");
  lines = from.lines;
  lines.push_back(lines.back());
  from.refuses(lines, ": There is more after the trailer. Nothing was imported.");
  lines = from.lines;
  const std::size_t person = from.line_with("{\"person\":");
  lines.insert(lines.begin() + static_cast<std::ptrdiff_t>(person), lines[person]);
  CHECK(from.import(lines).find("UNIQUE constraint failed: person.id") != std::string::npos);
  lines = from.lines;
  lines.insert(lines.begin() + 3, "");
  from.refuses(lines, " line 4: That is not JSON");
}

TEST_CASE("import: what the trailer counts must be there") {
  Export from;
  for (const char* member : {"\"entries\":", "\"persons\":", "\"files\":"}) {
    auto lines = from.lines;
    lines.back().insert(lines.back().find(member) + std::string_view(member).size(), "1");
    from.refuses(lines,
                 "does not hold what its trailer says: it was altered. Nothing was imported.");
  }
}

TEST_CASE("import: a person or a file that was altered is refused by its seal or digest") {
  Export from;
  auto lines = from.lines;
  std::string& person = lines[from.line_with("Robin Example")];
  person.replace(person.find("Robin"), 5, "Rabin");
  from.refuses(lines, "was altered: the seal does not fit. Nothing was imported.");
  lines = from.lines;
  std::string& file = lines[from.line_with("{\"file\":")];
  file[file.find("base64\":\"") + 9] = 'Z';
  from.refuses(lines, "The file does not fit its SHA-256. Nothing was imported.");
}

TEST_CASE("import: any altered byte is refused or was of no meaning") {
  Export from;
  std::mt19937 random(7064);
  const auto below = [&](std::size_t n) {
    return std::uniform_int_distribution<std::size_t>(0, n - 1)(random);
  };
  int refused = 0;
  for (int i = 0; i < 400; ++i) {
    std::string text = from.whole;
    const std::size_t at = below(text.size());
    text[at] = static_cast<char>(text[at] ^ (i % 2 ? 1u << below(8) : 1 + below(255)));
    INFO("byte " << at << ": " << from.whole.substr(at > 30 ? at - 30 : 0, 60));
    const std::string said = from.import(text);
    if (said == "nothing was refused") {
      CHECK(exported(Book::open(from.folder / "out.db")) == from.whole);
    } else {
      CHECK(said.starts_with("book: "));
      ++refused;
    }
  }
  CHECK(refused > 390);
}

TEST_CASE("import: an existing file is kept and a missing export is named") {
  Export from;
  put_bytes(from.folder / "in.jsonl", from.whole);
  put_bytes(from.folder / "out.db", "mine");
  CHECK(refusal([&] { book::import_lines(from.folder / "in.jsonl", from.folder / "out.db"); }) ==
        "book: " + (from.folder / "out.db").string() +
            " exists already; a new book never replaces a file.");
  CHECK(bytes_of(from.folder / "out.db") == "mine");
  CHECK(refusal([&] { book::import_lines(from.folder / "none.jsonl", from.folder / "new.db"); }) ==
        "book: " + (from.folder / "none.jsonl").string() + " cannot be read.");
  CHECK(from.folder.names().size() == 2);
}

TEST_CASE("import: no room on the disk leaves nothing") {
  Export from;
  put_bytes(from.folder / "in.jsonl", from.whole);
  CHECK(refusal_without_room(60'000, [&] {
          book::import_lines(from.folder / "in.jsonl", from.folder / "out.db");
        }).starts_with("book: "));
  CHECK(from.folder.names() == std::vector<std::string>{"in.jsonl"});
}

TEST_CASE("backup: a copy is whole and for its owner alone and says the same") {
  Lived shop;
  const auto target = shop.folder() / "backup.db";
  const mode_t before = ::umask(0);
  book::backup(shop.book(), target);
  ::umask(before);
  CHECK(mode_of(target) == 0600);
  Book copy = Book::open(target);
  CHECK(problems_of(copy).empty());
  CHECK(exported(copy) == exported(shop.book()));
  CHECK(shop.folder().names() == std::vector<std::string>{"backup.db", "book.db"});
}

TEST_CASE("backup: while another writes it holds what was committed") {
  Lived shop;
  Book other = Book::open(shop.file());
  const std::string before = exported(shop.book());
  Writing writing(shop.book());
  writing.append("coat", coat("26-001", "F1").body(), {{shop.tick(), 0}, shop.tick(), 1});
  book::backup(other, shop.folder() / "backup.db");
  writing.commit();
  Book copy = Book::open(shop.folder() / "backup.db");
  CHECK(exported(copy) == before);
  CHECK(problems_of(copy).empty());
}

TEST_CASE(
    "backup: an existing target or a missing folder or no room is refused and nothing is left") {
  Lived shop;
  const auto target = shop.folder() / "backup.db";
  CHECK(refusal_without_room(40'000, [&] {
          book::backup(shop.book(), target);
        }).starts_with("book: The disk "));
  CHECK(shop.folder().names() == std::vector<std::string>{"book.db"});
  put_bytes(target, "mine");
  CHECK(refusal([&] { book::backup(shop.book(), target); }) ==
        "book: " + target.string() + " exists already; a backup never replaces a file.");
  CHECK(bytes_of(target) == "mine");
  CHECK(refusal([&] { book::backup(shop.book(), shop.file()); }).find("exists already") !=
        std::string::npos);
  CHECK(refusal([&] { book::backup(shop.book(), shop.folder() / "none/backup.db"); })
            .starts_with("book: The book " + (shop.folder() / "none/backup.db").string() +
                         " cannot be made"));
  CHECK(problems_of(shop.book()).empty());
}
