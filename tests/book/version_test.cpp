// Books and entries that an earlier Trencher wrote, and those of a later one.
#include "book/kinds.h"
#include "book/state.h"
#include "shop.h"

using namespace shop;

namespace {

// An entry as a program of another version wrote it.
std::int64_t write_as(Shop& shop, std::string_view kind, std::int64_t version, const Json& body) {
  Writing writing(shop.book());
  book::Entry entry{.number = shop.book().entry_count() + 1,
                    .happened = {shop.tick(), 0},
                    .written_at = shop.tick(),
                    .written_by = 1,
                    .kind = std::string(kind),
                    .kind_version = version,
                    .body = body.canonical(),
                    .hash = {}};
  entry.hash = book::entry_hash(shop.book().last_hash(), entry);
  writing.take_over(entry);
  writing.rebuild_state();
  writing.commit();
  return entry.number;
}

// The columns of every table of the state.
std::vector<std::string> columns_of(const Book& book) {
  std::vector<std::string> out;
  for (const std::string& table : book::State::tables())
    book.sql().each("SELECT name FROM pragma_table_info('" + table + "')",
                    [&](const book::Row& row) { out.push_back(table + " " + row.text(0)); });
  return out;
}

// A book as layout 1 had it: without what layout 2 added, and with a state that is out of date.
void make_layout_1(const std::filesystem::path& file) {
  SQLite::Database plain(file.string(), SQLite::OPEN_READWRITE);
  for (const std::string& table : book::State::tables()) plain.exec("DROP TABLE " + table);
  plain.exec(
      "CREATE TABLE piece(code TEXT NOT NULL PRIMARY KEY, batch TEXT NOT NULL, number INTEGER NOT "
      "NULL, signed_off INTEGER, given INTEGER) STRICT, WITHOUT ROWID;"
      "CREATE INDEX piece_of_batch ON piece(batch, number);"
      "INSERT INTO piece VALUES ('26-009-01-00', '26-009', 1, NULL, NULL);"
      "CREATE TABLE open_batch(batch TEXT NOT NULL PRIMARY KEY, left_here INTEGER NOT NULL) "
      "STRICT, WITHOUT ROWID;"
      "PRAGMA user_version = 1;");
}

void make_layout_2(const std::filesystem::path& file) {
  SQLite::Database plain(file.string(), SQLite::OPEN_READWRITE);
  plain.exec(
      "DROP TABLE reach; DROP TABLE noted_air; DROP TABLE tin_use; DROP INDEX mention_of_few;"
      "PRAGMA user_version = 2;");
}

}  // namespace

TEST_CASE("version: entries of each kind are written in the version of today") {
  Lived shop;
  std::map<std::string, std::int64_t> written;
  shop.book().each_entry([&](const book::Entry& e) { written[e.kind] = e.kind_version; });
  CHECK(written.size() == 37);  // every kind
  for (const auto& [kind, version] : written) {
    INFO(kind);
    CHECK(version == book::version_written(kind));
  }
  CHECK(written["coat"] == 2);
  CHECK(written["worker"] == 1);
  CHECK(book::version_written("recipe") == 0);
}

TEST_CASE("version: entries of an earlier version are read and one above is refused") {
  Lived shop;
  std::map<std::string, Json> bodies;
  shop.book().each_entry([&](const book::Entry& e) { bodies[e.kind] = Json::parse(e.body); });
  for (const auto& [kind, body] : bodies) {
    INFO(kind);
    const std::int64_t today = book::version_written(kind);
    for (std::int64_t version = 1; version <= today; ++version)
      CHECK(book::facts_of(kind, version, body).mentions ==
            book::facts_of(kind, today, body).mentions);
    for (const std::int64_t version : {std::int64_t{0}, std::int64_t{-1}, today + 1})
      CHECK(refusal([&, &kind = kind, &body = body] { book::facts_of(kind, version, body); }) ==
            "book: The book holds an entry of kind '" + kind + "', version " +
                std::to_string(version) +
                ", which this program does not know; a newer Trencher wrote it.");
  }
}

TEST_CASE("version: a book of entries of the first version is read as what it says") {
  Shop shop;
  write_as(shop, "wood", 1, wood("W1").body());
  const auto made = write_as(shop, "product", 1, product("P1", "finish").body());
  // The first version wrote the whole label into the tin, its product's figures among them.
  const auto tin_entry = write_as(
      shop, "tin", 1,
      Json::parse(R"({"kind":"raw-tung-oil","label":{"mechanism":"oxidative","recoat_min_s":)"
                  R"({"from":"label","value":7200}},"name":"Oil","product":"P1","stock":"finish",)"
                  R"("supplier":"S","supplier_lot":"L","tin":"F1"})"));
  const auto paper =
      write_as(shop, "statement", 1, Json::parse(R"({"about":"safety","subject":"P1"})"));
  write_as(shop, "batch", 1, batch("26-001", 2, {"W1"}, {"F1"}).body());
  const auto sampled =
      write_as(shop, "readings", 1, readings("garage", {{0, shop.tick(), {15'000}, {}}}).body());
  const auto put_on = write_as(shop, "coat", 1, coat("26-001", "F1", {1}).body());
  write_as(shop, "card", 1, card("26-001", {1}).body());
  write_as(shop, "correction", 1, correction_body(put_on, coat("26-001", "F1", {2}).body()));
  write_as(shop, "strike", 1, strike_body(sampled));
  const Book& book = shop.book();
  const Tin found = find_tin(book, "F1").value();
  CHECK(found.entry == tin_entry);
  CHECK(found.product_version == 1);
  CHECK(found.label.recoat_min == Figure{7200, false});
  CHECK(found.label.food_contact == Figure{30 * 86400, true});  // its product's
  CHECK(find_product(book, "P1")->version == 1);
  CHECK(find_product(book, "P1")->entry == made);
  const Statement said = statements_on(book, {"P1"}).at(0);
  CHECK(said.entry == paper);
  CHECK(said.version == 0);
  CHECK(is_about(said, found));
  CHECK_FALSE(find_wood(book, "W1")->from_customer);
  CHECK(find_batch(book, "26-001")->person.empty());
  CHECK(steps_of(book, "26-001").at(0).pieces == std::vector{2});
  CHECK(cards_of(book, "26-001").at(0).words.empty());
  CHECK(effective_entry(book, sampled)->struck_by);
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("version: a correction says which version its body is of") {
  Stocked shop;
  const auto old = write_as(shop, "coat", 1, coat("26-001", "F1", {1}).body());
  const Json body = coat("26-001", "F1", {2}).body();
  const auto of = [&](std::int64_t version) {
    return correction_body(old, body).set("version", version);
  };
  CHECK(book::corrected_version(correction_body(old, body), 1) == 1);
  CHECK(book::corrected_version(of(2), 1) == 2);
  shop.write("correction", of(2));
  CHECK(steps_of(shop.book(), "26-001").at(0).pieces == std::vector{2});
  CHECK(problems_of(shop.book()).empty());
  const std::string before = exported(shop.book());
  CHECK(refusal([&] { shop.write("correction", of(3)); }) ==
        "book: The book holds an entry of kind 'coat', version 3, which this program does not "
        "know; a newer Trencher wrote it.");
  CHECK(refusal([&] { shop.write("correction", of(0)); }) != "nothing was refused");
  CHECK(exported(shop.book()) == before);
}

TEST_CASE("version: a book of the layout before gets its state anew and is whole") {
  const Copy shop;
  std::string entries;
  std::vector<std::string> columns;
  std::optional<std::int64_t> scrapped;
  {
    const Book book = Book::open(shop.file());
    entries = exported(book);
    scrapped = pieces_of(book, "26-002").at(0).scrapped;
    REQUIRE(scrapped);
    columns = columns_of(book);
  }
  for (const auto make_earlier : {make_layout_1, make_layout_2}) {
    make_earlier(shop.file());
    Book book = Book::open(shop.file());
    CHECK(book.sql().number("PRAGMA user_version") == book::layout_version);
    CHECK(exported(book) == entries);
    CHECK(columns_of(book) == columns);
    CHECK(pieces_of(book, "26-009").empty());
    CHECK(pieces_of(book, "26-002").at(0).scrapped == scrapped);
    CHECK(open_wrongs(book).size() == 3);
    CHECK(problems_of(book).empty());
  }
  CHECK(shop.folder().names() == std::vector<std::string>{"book.db"});
}

TEST_CASE("version: a book of the layout before that cannot be folded stays as it was") {
  const Copy shop;
  make_layout_1(shop.file());
  tamper(shop.file(), "UPDATE entry SET kind = 'recipe' WHERE number = 20");
  const std::string bytes = bytes_of(shop.file());
  CHECK(refusal([&] {
          Book::open(shop.file());
        }).starts_with("book: The book holds an entry of kind 'recipe', version "));
  CHECK(bytes_of(shop.file()) == bytes);
}
