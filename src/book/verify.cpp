#include "book/verify.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "book/chain.h"
#include "book/kinds.h"
#include "book/sql.h"
#include "book/state.h"
#include "domain/embedded.h"
#include "domain/error.h"
#include "domain/records.h"
#include "domain/text.h"

namespace trencher::book {
namespace {

constexpr std::size_t most_problems = 50;  // a damaged file has as many as one likes

class Check {
 public:
  explicit Check(Book& book) : book_(book) {}

  Verdict run() {
    const Snapshot snapshot(book_.sql());
    step(Part::file, [&] { pages(); });
    step(Part::schema, [&] { layout(); });
    step(Part::journal, [&] { chain(); });
    step(Part::vault, [&] { vault(); });
    step(Part::state, [&] { state(); });
    return std::move(verdict_);
  }

 private:
  // A part that cannot even be read is a problem of its own, and the rest is still looked at.
  template <typename Look>
  void step(Part part, Look look) {
    part_ = part;
    try {
      look();
    } catch (const std::exception& failure) {
      problem(failure.what());
    }
  }

  void problem(std::string sentence) {
    verdict_.hurt.insert(part_);
    const auto& told = verdict_.problems;
    if (std::find(told.begin(), told.end(), sentence) != told.end()) return;
    if (verdict_.problems.size() < most_problems) verdict_.problems.push_back(std::move(sentence));
  }

  void pages() {
    book_.sql().each("PRAGMA main.integrity_check(20)", [&](const Row& row) {
      if (row.text(0) == "ok") return;
      std::string found = row.text(0);
      std::replace(found.begin(), found.end(), '\n', ' ');
      problem(fmt::format("The file is damaged: {}.", found));
    });
  }

  // Every table, index and trigger as the program makes them: a book without its triggers could
  // have been altered and hashed anew.
  void layout() {
    const auto objects = [](Sql& sql) {
      std::set<std::string> out;
      sql.each("SELECT type, name, coalesce(sql, '') FROM main.sqlite_master", [&](const Row& row) {
        // SQLite's own index of a key that is no number.
        if (row.text(0) != "index" || !row.text(1).starts_with("sqlite_autoindex_"))
          out.insert(fmt::format("{} {}: {}", row.text(0), row.text(1), row.text(2)));
      });
      return out;
    };
    Sql fresh = Sql::in_memory();
    for (const char* part : {"schema/journal.sql", "schema/vault.sql"})
      fresh.script(std::string(embedded_text(embedded_book(), part)));
    State(fresh, "main").make_tables();
    const auto want = objects(fresh), have = objects(book_.sql());
    for (const std::string& object : want)
      if (!have.contains(object))
        problem(fmt::format("The book lacks or has altered the {}.",
                            object.substr(0, object.find(':'))));
    for (const std::string& object : have)
      if (!want.contains(object))
        problem(fmt::format("The book has a foreign or altered {}.",
                            object.substr(0, object.find(':'))));
  }

  void chain() {
    const std::string first = first_previous_hash(book_.id());
    verdict_.last_hash = first;
    Chain chain(first, known());
    step(Part::journal, [&] {
      book_.sql().each(fmt::format("SELECT {} FROM entry ORDER BY number", entry_columns),
                       [&](const Row& row) { follow(row, chain); });
      read_to_end_ = true;
    });
    if (!read_to_end_) distrust(chain.last() + 1);
    verdict_.last = chain.last() + (read_to_end_ ? 0 : 1);
    verdict_.trusted_to = untrusted_from_ ? untrusted_from_ - 1 : chain.last();
  }

  // What `rescued` entries say; one that cannot be read says nothing, and shows in the chain.
  Rescues known() {
    Rescues out;
    step(Part::journal, [&] { out = rescues(book_.sql()); });
    for (const auto& [first, gap] : out.gaps) verdict_.gaps.push_back(gap);
    for (const auto& [entry, digest] : out.unproved) verdict_.unproved.push_back(entry);
    verdict_.open_end = out.open_end;
    lost_persons_ = out.persons;
    lost_files_ = out.files;
    return out;
  }

  void follow(const Row& row, Chain& chain) {
    ++verdict_.entries;
    verdict_.last_hash = row.text(8);
    try {  // one that cannot be read does not hide those behind it
      const Entry entry = read_entry(row);
      if (const auto how = chain.next(entry)) {
        if (!untrusted_from_)
          problem(fmt::format("Entry {} {}; from there on the chain cannot be trusted.",
                              chain.broken_at(), *how));
        distrust(chain.broken_at());
      }
      body(entry);
    } catch (const Error& failure) {
      problem(failure.what());
      distrust(std::min(row.number(0), chain.last() + 1));  // its number may be hurt too
      chain.skip(row.number(0), row.text(8));
    }
  }

  void distrust(std::int64_t from) {
    if (!untrusted_from_) untrusted_from_ = std::max<std::int64_t>(1, from);
  }

  void body(const Entry& entry) {
    try {
      const Json body = parse_body(entry.body);
      if (body.canonical() != entry.body)
        problem(fmt::format("The body of entry {} is not written as the book writes it.",
                            entry.number));
      facts_of(entry.kind, entry.kind_version, body);
      if (entry.kind == "forget") {  // names a person whom the vault is to hold no more
        forgotten_.insert(Forgotten::read(body).person);
        return;
      }
      names(body);
      if (entry.kind == "correction") names(body.at("body"));
    } catch (const std::exception& failure) {
      problem(fmt::format("The body of entry {} cannot be read: {}", entry.number, failure.what()));
    }
  }

  // What of the vault a body names.
  void names(const Json& body) {
    if (const auto file = body.maybe_text("file_sha256")) files_.insert(*file);
    if (const auto person = body.maybe_text("person")) seals_[*person].insert(body.text("seal"));
  }

  void vault() {
    std::set<std::string> here;
    book_.each_person([&](const Person& person) {
      here.insert(person.id);
      if (forgotten_.contains(person.id))
        problem(fmt::format("The vault holds a person ({}) whom an entry says is forgotten.",
                            person.id));
      const auto named = seals_.find(person.id);
      if (named == seals_.end() && !read_to_end_) return;  // what names them may be behind
      if (named == seals_.end())
        problem(fmt::format("The vault holds a person ({}) whom no entry names.", person.id));
      else if (named->second != std::set{seal(person)})
        problem(fmt::format("A person in the vault ({}) was altered: the seal does not fit.",
                            person.id));
    });
    for (const auto& [person, sealed] : seals_)
      if (!here.contains(person) && !forgotten_.contains(person)) {
        if (lost_persons_.contains(person))
          ++verdict_.persons_lost;
        else
          problem(
              fmt::format("A person that entries name ({}) is missing from the vault.", person));
      }
    std::set<std::string> held;
    book_.each_file([&](std::string_view sha256, std::string_view bytes) {
      held.emplace(sha256);
      if (sha256_hex(bytes) != sha256)
        problem(fmt::format("A file in the vault ({}) was altered.", sha256));
      if (read_to_end_ && !files_.contains(std::string(sha256)))
        problem(fmt::format("The vault holds a file ({}) that no entry names.", sha256));
    });
    for (const std::string& file : files_)
      if (!held.contains(file)) {
        if (lost_files_.contains(file))
          ++verdict_.files_lost;
        else
          problem(fmt::format("A file that an entry names ({}) is missing from the vault.", file));
      }
  }

  void state() {
    Sql& sql = book_.sql();
    const auto drop = [&] {
      for (const std::string& table : State::tables())
        sql.script("DROP TABLE IF EXISTS temp." + table);
    };
    drop();  // a rebuild that failed has left them
    State fresh(sql, "temp");
    fresh.make_tables();
    fresh.rebuild();
    for (const std::string& table : State::tables()) {
      const auto differ = sql.number(fmt::format(
          "SELECT (SELECT count(*) FROM (SELECT * FROM main.{0} EXCEPT SELECT * FROM temp.{0})) + "
          "(SELECT count(*) FROM (SELECT * FROM temp.{0} EXCEPT SELECT * FROM main.{0}))",
          table));
      if (differ.value_or(1) != 0)
        problem(fmt::format("The state table '{}' does not follow from the journal ({}).", table,
                            count_of(differ.value_or(1), "row differs", "rows differ")));
    }
    drop();
  }

  Book& book_;
  Verdict verdict_;
  Part part_ = Part::file;
  std::int64_t untrusted_from_ = 0;
  bool read_to_end_ = false;  // of the journal
  std::set<std::string> files_, forgotten_, lost_persons_, lost_files_;
  std::map<std::string, std::set<std::string>> seals_;  // of each person: one, in an unaltered book
};

}  // namespace

std::string_view part_name(Part part) {
  switch (part) {
    case Part::file:
      return "file";
    case Part::schema:
      return "schema";
    case Part::journal:
      return "journal";
    case Part::vault:
      return "vault";
    case Part::state:
      return "state";
  }
  return "";
}

Verdict verify(Book& book) { return Check(book).run(); }

}  // namespace trencher::book
