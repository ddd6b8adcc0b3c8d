// A rehearsal shows what an entry would change, and leaves no trace.
#include "book/state.h"
#include "shop.h"

using namespace shop;

namespace {

// The rows of every table of the file.
std::vector<std::string> rows_of(const Book& book) {
  std::vector<std::string> tables = book::State::tables(), out;
  tables.insert(tables.end(), {"book", "entry", "person", "file"});
  for (const std::string& table : tables) {
    std::string columns;
    book.sql().each(
        "SELECT name FROM pragma_table_info('" + table + "')", [&](const book::Row& row) {
          columns += (columns.empty() ? "quote(" : " || ' ' || quote(") + row.text(0) + ")";
        });
    book.sql().each("SELECT " + columns + " FROM " + table + " ORDER BY 1",
                    [&](const book::Row& row) { out.push_back(table + ": " + row.text(0)); });
  }
  return out;
}

}  // namespace

TEST_CASE("rehearsal: what was appended is seen within it and gone afterwards") {
  Lived shop;
  const auto before = rows_of(shop.book());
  const auto count = shop.book().entry_count();
  const std::string last = shop.book().last_hash();
  const auto next = next_number(shop.book(), "F");
  Writing writing(shop.book());
  bool seen = false;
  writing.rehearse([&] {
    const book::Stamp stamp{{shop.tick(), 0}, shop.tick(), 1};
    writing.keep(book::new_person("Gone Example", ""));
    writing.keep_file("gone");
    writing.append("tin", tin("F" + std::to_string(next), "finish").body(), stamp);
    writing.append("scrap", scrap("26-001", {2}).body(), stamp);
    writing.append("strike", strike_body(shop.coat_entry), stamp);  // a rebuilt state
    seen = shop.book().entry_count() == count + 3 && next_number(shop.book(), "F") == next + 1 &&
           pieces_of(shop.book(), "26-001")[1].scrapped == count + 2 &&
           effective_entry(shop.book(), shop.coat_entry)->struck_by == count + 3;
  });
  CHECK(seen);
  CHECK(rows_of(shop.book()) == before);
  CHECK(shop.book().entry_count() == count);
  CHECK(shop.book().last_hash() == last);
  CHECK(next_number(shop.book(), "F") == next);
  writing.commit();
  CHECK(rows_of(shop.book()) == before);
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("rehearsal: what was written before and after it stays") {
  Stocked shop;
  Writing writing(shop.book());
  const book::Stamp stamp{{shop.tick(), 0}, shop.tick(), 1};
  const auto one = writing.append("coat", coat("26-001", "F1", {1}).body(), stamp);
  std::int64_t rehearsed = 0;
  for (int times = 0; times < 2; ++times)
    writing.rehearse([&] { rehearsed = writing.append("strike", strike_body(one), stamp); });
  const auto two = writing.append("coat", coat("26-001", "F1", {2}).body(), stamp);
  CHECK(rehearsed == two);  // the number is free again
  writing.commit();
  CHECK(steps_of(shop.book(), "26-001").size() == 2);
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("rehearsal: one that throws is undone and says why") {
  Lived shop;
  const auto before = rows_of(shop.book());
  Writing writing(shop.book());
  const book::Stamp stamp{{shop.tick(), 0}, shop.tick(), 1};
  CHECK(refusal([&] {
          writing.rehearse([&] {
            writing.append("tin", tin("F9", "finish").body(), stamp);
            throw Error::request("on purpose");
          });
        }) == "request: on purpose");
  CHECK(rows_of(shop.book()) == before);
  // One whose own entry is refused half way through its fold.
  CHECK(refusal([&] {
          writing.rehearse([&] { writing.append("strike", strike_body(999), stamp); });
        }).starts_with("book: Entry "));
  CHECK(rows_of(shop.book()) == before);
  writing.append("tin", tin("F9", "finish").body(), stamp);
  writing.commit();
  CHECK(find_tin(shop.book(), "F9"));
  CHECK(problems_of(shop.book()).empty());
}

TEST_CASE("a writing within another is undone by itself and for good only with the other") {
  Stocked shop;
  const auto before = rows_of(shop.book());
  const book::Stamp stamp{{shop.tick(), 0}, shop.tick(), 1};
  const auto enter = [&](bool keep) {
    Writing part(shop.book());
    const auto entry = part.append("coat", coat("26-001", "F1", {1}).body(), stamp);
    if (keep) part.commit();
    return entry;
  };
  {
    Writing whole(shop.book());
    const auto one = enter(false);
    CHECK(enter(true) == one);  // the number is free again
    CHECK(enter(true) == one + 1);
    CHECK(steps_of(shop.book(), "26-001").size() == 2);
  }
  CHECK(rows_of(shop.book()) == before);
  Writing whole(shop.book());
  enter(true);
  enter(false);
  whole.commit();
  CHECK(steps_of(shop.book(), "26-001").size() == 1);
  CHECK(problems_of(shop.book()).empty());
}
