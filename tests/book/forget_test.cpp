// Forgetting a person: name, contact and salt leave the file, every hash and the trace stay.
#include <fmt/format.h>

#include <random>
#include <set>

#include "shop.h"

using namespace shop;

namespace {

const std::string name = "Quillon Forgettable-Example";
const std::string contact = "quillon-forgettable@example.org";

book::Person told(Shop& shop) {
  book::Person person = book::new_person(name, contact);
  Writing writing(shop.book());
  writing.keep(person);
  const Gift gift = shop::gift("26-001", {1}, person);
  writing.append("give", gift.body(), {{shop.tick(), 60}, shop.tick(), 1});
  writing.commit();
  return person;
}

void forget(Shop& shop, const book::Person& person) {
  {
    Writing writing(shop.book());
    writing.forget(person.id);
    writing.append("forget", Forgotten{.person = person.id}.body(),
                   {{shop.tick(), 60}, shop.tick(), 1});
    writing.commit();
  }
}

bool file_holds(const Shop& shop, const std::string& text) {
  return bytes_of(shop.file()).find(text) != std::string::npos;
}

std::vector<std::string> hashes(const Book& book, std::int64_t up_to) {
  std::vector<std::string> out;
  book.each_entry([&](const book::Entry& entry) {
    if (entry.number <= up_to) out.push_back(entry.hash);
  });
  return out;
}

}  // namespace

TEST_CASE("forget: name, contact and salt are in no page of the file, freed ones among them") {
  Lived shop;
  const book::Person person = told(shop);
  for (const std::string& text : {name, contact, person.salt}) CHECK(file_holds(shop, text));
  forget(shop, person);
  for (const std::string& text : {name, contact, person.salt}) CHECK_FALSE(file_holds(shop, text));
  CHECK_FALSE(std::filesystem::exists(shop.file().string() + "-journal"));
  book::vacuum(shop.book());
  for (const std::string& text : {name, contact, person.salt}) CHECK_FALSE(file_holds(shop, text));
  CHECK(file_holds(shop, person.id));  // the trace goes by the id
  CHECK(problems_of(shop.book()).empty());
}

// Of the layouts that a table of random ids takes, one in ten leaves such a copy.
TEST_CASE("forget: nor in a page that the table's rows were moved from") {
  std::set<std::string> left;
  for (unsigned seed = 0; seed < 20; ++seed) {
    std::mt19937 dice(seed);
    Shop shop;
    std::vector<book::Person> people;
    for (std::size_t number = 0; number < 60; ++number) {
      std::string told;
      for (std::size_t i = 0; i <= number % 30; ++i) told += fmt::format("mark{:03}-", number);
      book::Person person = book::new_person(fmt::format("Moved{:03}-Example", number), told);
      for (char& sign : person.id) sign = "0123456789abcdef"[dice() % 16];
      Writing writing(shop.book());
      writing.keep(person);
      writing.commit();
      people.push_back(person);
    }
    for (const book::Person& person : people) CHECK(file_holds(shop, person.name));
    for (std::size_t at = 0; at < people.size(); ++at) {
      {
        Writing writing(shop.book());
        writing.forget(people[at].id);
        writing.commit();
      }
      const std::string bytes = bytes_of(shop.file());
      for (std::size_t one = 0; one <= at; ++one)
        for (const std::string& text : {people[one].name, people[one].salt})
          if (bytes.find(text) != std::string::npos) left.insert(fmt::format("{} {}", seed, text));
      CHECK((at + 1 == people.size() || shop.book().person(people[at + 1].id)));
    }
  }
  CHECK(left == std::set<std::string>());
}

TEST_CASE("forget: no hash changes, and the trace stays without the name") {
  Lived shop;
  const book::Person person = told(shop);
  const std::int64_t last = shop.book().entry_count();
  const std::vector<std::string> before = hashes(shop.book(), last);
  const auto gifts = gifts_of(shop.book(), "26-001");
  const auto pieces = pieces_of(shop.book(), "26-001");
  forget(shop, person);
  CHECK(hashes(shop.book(), last) == before);
  const auto gifts_now = gifts_of(shop.book(), "26-001");
  REQUIRE(gifts_now.size() == gifts.size());
  for (std::size_t i = 0; i < gifts.size(); ++i)
    CHECK(gifts_now[i].body().canonical() == gifts[i].body().canonical());
  const auto pieces_now = pieces_of(shop.book(), "26-001");
  REQUIRE(pieces_now.size() == pieces.size());
  for (std::size_t i = 0; i < pieces.size(); ++i) CHECK(pieces_now[i].given == pieces[i].given);
  CHECK_FALSE(shop.book().person(person.id).has_value());
}

TEST_CASE("forget: an export after it imports as a whole book, without the person") {
  Lived shop;
  const book::Person person = told(shop);
  forget(shop, person);
  const std::string lines = exported(shop.book());
  CHECK(lines.find(name) == std::string::npos);
  const auto file = shop.folder() / "export.jsonl", copy = shop.folder() / "copy.db";
  put_bytes(file, lines);
  CHECK(book::import_lines(file, copy) == shop.book().entry_count());
  CHECK(problems_of(copy).empty());
}

TEST_CASE("forget: a person who is gone without an entry, or back in spite of one, is a problem") {
  Lived shop;
  const book::Person person = told(shop);
  SECTION("gone") {
    Writing writing(shop.book());
    writing.forget(person.id);
    writing.commit();
    CHECK(problems_of(shop.book()) ==
          std::vector<std::string>{"A person that entries name (" + person.id +
                                   ") is missing from the vault."});
  }
  SECTION("back") {
    forget(shop, person);
    Writing writing(shop.book());
    writing.keep(person);
    writing.commit();
    CHECK(problems_of(shop.book()) ==
          std::vector<std::string>{"The vault holds a person (" + person.id +
                                   ") whom an entry says is forgotten."});
  }
}
