// An invented shop and its book, for the tests.
#pragma once

#include <SQLiteCpp/SQLiteCpp.h>

#include <numeric>
#include <string>
#include <string_view>
#include <vector>

#include "book/book.h"
#include "book/queries.h"
#include "book/sql.h"
#include "book/transfer.h"
#include "book/verify.h"
#include "domain/records.h"
#include "folder.h"

namespace shop {

using namespace trencher;
using book::Book;
using book::Writing;

inline Instant time(std::string_view iso) { return instant_from_iso(iso); }

inline Label oil_label() {
  Label out;
  out.mechanism = Mechanism::oxidative;
  out.recoat_min = Figure{86400, false};
  out.food_contact = Figure{30 * 86400, true};
  out.basis = "invented for the tests";
  return out;
}

inline Product product(std::string id, std::string stock) {
  return {.id = std::move(id),
          .stock = stock,
          .kind = stock == "glue" ? "pva-d3" : "raw-tung-oil",
          .name = "Example " + stock,
          .supplier = "Example Supply",
          .label = oil_label()};
}

inline Tin tin(std::string id, std::string stock, std::string product = {}) {
  Tin out;
  out.id = std::move(id);
  out.stock = stock;
  out.product = std::move(product);
  out.kind = stock == "glue" ? "pva-d3" : "raw-tung-oil";
  out.name = "Example " + stock;
  out.supplier = "Example Supply";
  out.lot = "L-7";
  out.best_before = day_from_iso("2027-12-01");
  out.amount = Amount{Amount::Measure::volume, 1'000'000};
  out.label = oil_label();
  return out;
}

inline WoodLot wood(std::string id, std::string species = "hard-maple") {
  WoodLot out;
  out.id = std::move(id);
  out.species = std::move(species);
  out.supplier = "Example Timber";
  out.lot = "T-1";
  return out;
}

inline Batch batch(std::string code, int pieces, std::vector<std::string> wood,
                   std::vector<std::string> finish) {
  Batch out;
  out.code = std::move(code);
  out.wood = std::move(wood);
  out.finish = std::move(finish);
  out.schedule.id = "oil";
  out.schedule.name = "Oil";
  out.schedule.slots = {{Mechanism::oxidative}};
  out.schedule.steps = {{.step = "sand", .grits = {120, 180}}, {.step = "coat", .slot = 1}};
  out.pieces = pieces;
  out.size = {{400'000}, {250'000}, {22'000}};
  out.use = "cutting-board";
  out.place = "garage";
  return out;
}

inline Step step(std::string kind, std::string batch) {
  Step out;
  out.kind = std::move(kind);
  out.batch = std::move(batch);
  return out;
}

inline Step coat(std::string batch, std::string tin, std::vector<int> pieces = {},
                 bool rags = false) {
  Step out = step("coat", std::move(batch));
  out.pieces = std::move(pieces);
  out.drawn = {{std::move(tin), Amount{Amount::Measure::volume, 50'000}, false}};
  out.rags = rags;
  return out;
}

inline Readings readings(std::string place, std::vector<Reading> samples) {
  return {std::move(place), std::move(samples), {}};
}

inline SignOff sign_off(std::string batch, std::vector<int> pieces) {
  SignOff out;
  out.batch = std::move(batch);
  out.pieces = std::move(pieces);
  return out;
}

inline Gift gift(std::string batch, std::vector<int> pieces, const book::Person& person) {
  Gift out;
  out.batch = std::move(batch);
  out.pieces = std::move(pieces);
  out.person = person.id;
  out.seal = seal(person);
  out.as = "gift";
  out.market = "us";
  return out;
}

inline Mix mix(std::string id, std::string stock, const std::vector<std::string>& from) {
  Mix out;
  out.id = std::move(id);
  out.stock = std::move(stock);
  out.name = "Example mix";
  for (const std::string& tin : from)
    out.drawn.push_back({tin, Amount{Amount::Measure::volume, 100'000}, false});
  out.amount = Amount{Amount::Measure::volume, 100'000 * std::int64_t(from.size())};
  return out;
}

inline Scrap scrap(std::string batch, std::vector<int> pieces) {
  Scrap out;
  out.batch = std::move(batch);
  out.pieces = std::move(pieces);
  out.why = "split at the end";
  return out;
}

inline Turn turn(Turn::Kind kind, std::string batch, std::vector<int> pieces) {
  Turn out;
  out.kind = kind;
  out.batch = std::move(batch);
  out.pieces = std::move(pieces);
  return out;
}

inline Turn split(std::string code, std::vector<int> pieces, std::vector<std::string> finish) {
  Turn out = turn(Turn::Kind::split, std::move(code), std::move(pieces));
  out.schedule = batch("26-999", 1, {}, {}).schedule;
  out.finish = std::move(finish);
  return out;
}

inline Turn take_back(std::string batch, std::vector<int> pieces) {
  Turn out = turn(Turn::Kind::take_back, std::move(batch), std::move(pieces));
  out.place = "garage";
  return out;
}

inline PrintedCard card(std::string batch, std::vector<int> pieces) {
  PrintedCard out;
  out.batch = std::move(batch);
  out.pieces = std::move(pieces);
  out.language = "en";
  return out;
}

inline Dealt dealt(std::int64_t with, std::string batch, std::vector<int> pieces) {
  Dealt out;
  out.with = with;
  out.batch = std::move(batch);
  out.pieces = std::move(pieces);
  out.how = "told by phone";
  return out;
}

// What an entry made wrong about pieces whose card says otherwise, and that are signed off.
inline Json affected(std::string batch, std::vector<int> pieces) {
  MadeWrong out;
  out.batch = std::move(batch);
  out.changes = {{"walnut", "none recorded", "contains"}};
  out.sign_off = pieces;
  out.card = pieces;
  out.cards = {1};
  return Json::array().push(out.json());
}

inline Json statement(std::string subject) {
  Statement out;
  out.subject = std::move(subject);
  out.about = "allergens";
  out.declares_none = {"peanut"};
  return out.body();
}

// Begins a book: workshop (entry 1), worker (2), garage (3).
inline void begin(Book& book) {
  const book::Stamp stamp{{time("2026-01-05T08:00:00Z"), 60}, time("2026-01-05T08:00:00Z"), 1};
  Workshop workshop{
      "Example Bench", "1 Example Lane", "bench@example.org", {"us"}, "Europe/London"};
  const book::Person person = book::new_person("Sam Example", "");
  Writing writing(book);
  writing.keep(person);
  writing.append("workshop", workshop.body(), stamp);
  writing.append("worker", Worker{1, person.id, seal(person), true}.body(), stamp);
  writing.append("place", Place{"garage", "Garage", Celsius{15'000}, {}}.body(), stamp);
  writing.commit();
}

inline Json correction_body(std::int64_t entry, const Json& body) {
  return Json::object().set("entry", entry).set("why", "a slip").set("body", body);
}
inline Json strike_body(std::int64_t entry) {
  return Json::object().set("entry", entry).set("why", "never happened");
}

class Shop {
 public:
  Shop() : book_(made()) {}

  Book& book() { return book_; }
  const Folder& folder() const { return folder_; }
  std::filesystem::path file() const { return folder_ / "book.db"; }

  std::int64_t write(std::string_view kind, const Json& body) { return write(kind, body, tick()); }
  std::int64_t write(std::string_view kind, const Json& body, Instant happened) {
    Writing writing(book_);
    const auto number = writing.append(kind, body, {{happened, 60}, clock_, 1});
    writing.commit();
    return number;
  }
  std::int64_t write(const Step& step) { return write(step.kind, step.body()); }
  std::int64_t correct(std::int64_t entry, const Json& body) {
    return write("correction", correction_body(entry, body));
  }
  std::int64_t strike(std::int64_t entry) { return write("strike", strike_body(entry)); }
  book::Person keep(std::string name) {
    const book::Person person = book::new_person(std::move(name), "sam@example.org");
    Writing writing(book_);
    writing.keep(person);
    writing.commit();
    return person;
  }
  // Gives pieces to somebody new.
  std::int64_t give(std::string batch, std::vector<int> pieces) {
    return write("give", gift(std::move(batch), std::move(pieces), keep("Robin Example")).body());
  }
  Instant tick() { return clock_ += Seconds(3600); }

 private:
  Book made() {
    Book::create(file(), begin);
    Book book = Book::open(file());
    book.sql().script("PRAGMA synchronous=OFF");  // no test here cuts the power
    return book;
  }

  Folder folder_;
  Instant clock_ = time("2026-01-05T08:00:00Z");
  Book book_;
};

// Wood, glue, finish and one batch of four, 26-001; enough for most tests.
struct Stocked : Shop {
  Stocked() {
    wood_lot = write("wood", wood("W1").body());
    product_entry = write("product", product("P1", "finish").body());
    finish_tin = write("tin", tin("F1", "finish", "P1").body());
    batch_entry = write("batch", batch("26-001", 4, {"W1"}, {"F1"}).body());
  }
  std::int64_t wood_lot, product_entry, finish_tin, batch_entry;
};

// A book with at least one entry of every kind, a file and persons in the vault, and a row in every
// table of the state.
struct Lived : Stocked {
  Lived() {
    write("place", Place{"house", "House", {}, {}}.body());
    write("species", to_json(Species{.id = "plum",
                                     .common_name = "Plum",
                                     .botanical_name = "Prunus domestica",
                                     .group = "hardwood"}));
    write("wood", wood("W2", "plum").body());
    write("tin", tin("G1", "glue").body());
    Writing writing(book());
    Json paper = statement("F1");
    paper.set("file_sha256", writing.keep_file(std::string("a paper\0of bytes\xFF", 17)));
    writing.append("statement", paper.set("file_name", "paper.pdf"), {{tick(), 0}, tick(), 1});
    writing.commit();
    for (const char* kind : {"glue-up", "fit", "sand", "raise-grain", "scuff", "inspect"})
      write(step(kind, "26-001"));
    Step moved = step("move", "26-001");
    moved.place = "house";
    write(moved);
    coat_entry = write(coat("26-001", "F1", {1, 2}, true));
    write("rags-done", RagsDone{"26-001", {coat_entry}}.body());
    open_coat = write(coat("26-001", "F1", {3, 4}, true));
    write("readings",
          readings("garage", {{0, tick(), {15'500}, Percent{550}}, {0, tick(), {16'000}, {}}})
              .body());
    write("note",
          Json::object().set("about", "26-001").set("text", "a knot in piece 3; said “fine”"));
    sign_off_entry = write("sign-off", sign_off("26-001", {1, 2, 3}).body());
    write("card", PrintedCard{.batch = "26-001", .pieces = {1}, .language = "en"}.body());
    gift_entry = give("26-001", {1});
    const auto late = write("batch", batch("26-002", 2, {"W2"}, {"F1"}).body());
    correct(late, batch("26-002", 3, {"W2"}, {"F1"}).body());
    strike(write(coat("26-002", "F1")));
    live_on(late);
  }
  std::int64_t coat_entry, open_coat, sign_off_entry, gift_entry;

 private:
  // What the second versions of the kinds added.
  void live_on(std::int64_t other_batch) {
    Product second = product("P1", "finish");
    second.version = 2;
    second.valid_from = day_from_iso("2026-01-01");
    second.label.opened_life = Figure{180 * 86400, false};
    write("product", second.body());
    Tin newer = tin("F2", "finish", "P1");
    newer.product_version = 2;
    write("tin", newer.body());
    write("tin", tin("X1", "other").body());
    write("mix", mix("F3", "finish", {"F1", "F2"}).body());
    write("open", Json::object().set("tin", "F2"));
    WoodLot brought = wood("W3");
    brought.from_customer = true;
    write("wood", brought.body());

    const book::Person person = keep("Kim Example");
    Batch ordered = batch("26-002", 3, {"W2", "W3"}, {"F1"});
    ordered.person = person.id;
    ordered.seal = seal(person);
    ordered.promised = day_from_iso("2026-06-01");
    correct(other_batch, ordered.body());
    Step glued = step("glue-up", "26-002");
    glued.strips = 7;
    write(glued);
    Step put_on = coat("26-002", "F3", {1, 2, 3});
    put_on.temp = put_on.wood_temp = put_on.tin_temp = Celsius{17'000};
    put_on.place = "garage";
    write(put_on);
    write("split", split("26-002", {2}, {"F3"}).body());
    write("sign-off", sign_off("26-002", {1, 2, 3}).body());
    PrintedCard told = card("26-002", {3});
    told.words = {{"finish", "F3 Example mix"}, {"wood", "Plum"}};
    told.contains = {"walnut"};
    told.none_recorded = {"peanut"};
    write("card", told.body());
    give("26-002", {3});
    Turn back = shop::take_back("26-002", {3});
    back.owner_applied = "mineral-oil";
    write("take-back", back.body());
    write("scrap", scrap("26-002", {1}).body());
    Json paper = statement("P1");
    paper.set("version", 2).set("affected", affected("26-002", {2, 3}));
    const auto told_late = write("statement", paper);
    write("dealt", dealt(told_late, "26-002", {3}).body());
    tell();
  }

  // What comes after the boards: withdrawn, recalled, complained of, answered, forgotten.
  void tell() {
    give_and_forget();
    Withdrawal word{.ids = {"F2"}, .why = "the supplier's notice"};
    word.supplier = "Example Supply";
    word.lot = "L-7";
    word.file_name = "notice.txt";
    {
      Writing writing(book());
      word.file_sha256 = writing.keep_file(std::string("a paper\0of bytes\xFF", 17));
      writing.commit();
    }
    const auto withdrawn = write("withdraw", word.body());
    write("recall", RecallStep{.withdrawal = withdrawn,
                               .batch = "26-001",
                               .pieces = {1},
                               .state = "reached",
                               .how = "by telephone"}
                        .body());
    write("recall-end", RecallEnd{.withdrawal = withdrawn, .why = "all are reached"}.body());
    write("complaint", Complaint{.batch = "26-001",
                                 .pieces = {2},
                                 .what = "a foot came off",
                                 .severity = "flaw",
                                 .where = "GB"}
                           .body());
    KeptAnswer answer{.batch = "26-001", .pieces = {1}, .position = withdrawn};
    answer.words = {{"wood", "Hard maple"}};
    answer.contains = {"linseed"};
    answer.none_recorded = {"milk"};
    answer.not_known = {"egg"};
    answer.rests_on = {withdrawn};
    write("answer", answer.body());
  }

  void give_and_forget() {
    give("26-002", {2});
    const auto gifts = book::gifts_of(book(), "26-002");
    {
      Writing writing(book());
      writing.forget(gifts.back().person);
      writing.commit();
    }
    write("forget", Forgotten{.person = gifts.back().person}.body());
  }
};

// A copy of such a book's file, made faster than by living it again.
class Copy {
 public:
  Copy() {
    static const Lived lived;
    std::filesystem::copy(lived.file(), file());
  }
  std::filesystem::path file() const { return folder_ / "book.db"; }
  const Folder& folder() const { return folder_; }

 private:
  Folder folder_;
};

// Changes the file behind the program's back, with the triggers out of the way and back afterwards.
inline void tamper(const std::filesystem::path& file, const std::string& sql) {
  SQLite::Database database(file.string(), SQLite::OPEN_READWRITE);
  std::vector<std::pair<std::string, std::string>> triggers;
  {
    SQLite::Statement all(database, "SELECT name, sql FROM sqlite_master WHERE type = 'trigger'");
    while (all.executeStep())
      triggers.emplace_back(all.getColumn(0).getString(), all.getColumn(1).getString());
  }
  for (const auto& [name, text] : triggers) database.exec("DROP TRIGGER " + name);
  database.exec(sql);
  for (const auto& [name, text] : triggers) database.exec(text);
}

inline std::string exported(const Book& book) {
  std::string out;
  book::export_lines(book, [&](std::string_view line) { out.append(line).append("\n"); });
  return out;
}

inline std::vector<std::string> problems_of(Book& book) { return book::verify(book).problems; }
inline std::vector<std::string> problems_of(const std::filesystem::path& file) {
  Book book = Book::open(file);
  return problems_of(book);
}

}  // namespace shop
