#include "book/verify.h"

#include <fmt/format.h>

#include <algorithm>
#include <optional>
#include <set>
#include <utility>

#include "book/chain.h"
#include "book/fold.h"
#include "book/journal_rows.h"
#include "book/random.h"
#include "book/row_sums.h"
#include "book/sql.h"
#include "book/state.h"
#include "book/vault_check.h"
#include "domain/embedded.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::book {
namespace {

// The journal is of a rescued book, or hurt.
struct NotPlain {};

constexpr std::size_t most_problems = 50;  // a damaged file has as many as one likes

class Check {
 public:
  // `plain`: the journal is taken to be whole and without `rescued` entries, which must be known
  // before those that they are about: a whole reading less.
  Check(Book& book, const std::function<void(std::int64_t, std::int64_t)>& progress, bool plain)
      : book_(book), progress_(progress), plain_(plain) {}

  // Throws NotPlain where it was taken for plain and is not.
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

  // Bodies, chain and state in one go: reading and parsing are what costs.
  void chain() {
    verdict_.last_hash = first_previous_hash(book_.id());
    Chain chain(verdict_.last_hash, plain_ ? Rescues() : known());
    RowSums folded(key_);
    std::optional<Fold> fold;
    try {
      fold.emplace(book_.sql(), amendments(book_.sql()).all(), chain.rescues(),
                   [&](auto table, auto row) { folded.take(table, row); });
    } catch (const std::exception& failure) {
      unfolded_ = failure.what();
    }
    step(Part::journal, [&] {
      if (progress_) to_come_ = book_.entry_count();
      each_journal_row(book_, [&](const JournalRow& row) { follow(row, chain, fold); });
      read_to_end_ = true;
    });
    if (plain_ && !read_to_end_) throw NotPlain();
    if (fold && unfolded_.empty()) try {
        fold->finish();
      } catch (const std::exception& failure) {
        unfolded_ = failure.what();
      }
    folded_ = std::move(folded);
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

  void follow(const JournalRow& row, Chain& chain, std::optional<Fold>& fold) {
    ++verdict_.entries;
    if (progress_) progress_(verdict_.entries, to_come_);
    verdict_.last_hash = row.hash();
    if (plain_ && (!row.failure().empty() || row.entry().kind == rescued_kind)) throw NotPlain();
    if (!row.failure().empty()) {  // one that cannot be read does not hide those behind it
      problem(row.failure());
      distrust(std::min(row.number(), chain.last() + 1));  // its number may be hurt too
      chain.skip(row.number(), row.hash());
      if (unfolded_.empty()) unfolded_ = row.failure();
      return;
    }
    const Entry& entry = row.entry();
    if (const auto how = chain.next(entry, row.hashed())) {
      if (plain_) throw NotPlain();
      if (!untrusted_from_)
        problem(fmt::format("Entry {} {}; from there on the chain cannot be trusted.",
                            chain.broken_at(), *how));
      distrust(chain.broken_at());
    }
    body(entry, row.body());
    if (!unfolded_.empty() || !fold) return;
    try {
      if (!row.body().unreadable.empty()) throw Error::book(row.body().unreadable);
      fold->take(entry, row.body().body, row.body().facts);
    } catch (const std::exception& failure) {
      unfolded_ = failure.what();
    }
  }

  void distrust(std::int64_t from) {
    if (!untrusted_from_) untrusted_from_ = std::max<std::int64_t>(1, from);
  }

  void body(const Entry& entry, const ReadBody& read) {
    if (!read.unlike.empty())
      problem(fmt::format("The body of entry {} is {}.", entry.number, read.unlike));
    std::string unreadable = read.unreadable;
    if (unreadable.empty()) try {
        named_.hear(entry, read.body);
      } catch (const Error& failure) {
        unreadable = failure.what();
      }
    if (!unreadable.empty())
      problem(fmt::format("The body of entry {} cannot be read: {}", entry.number, unreadable));
  }

  void vault() {
    const VaultCheck::Missing missing =
        named_.look(book_, lost_persons_, lost_files_, read_to_end_,
                    [&](std::string sentence) { problem(std::move(sentence)); });
    verdict_.persons_lost = missing.persons;
    verdict_.files_lost = missing.files;
  }

  void state() {
    if (!unfolded_.empty()) return problem(unfolded_);
    RowSums kept(key_);
    std::vector<Value> values;
    for (const std::string& table : State::tables())
      book_.sql().each("SELECT * FROM main." + table, [&](const Row& row) {
        row.values(values);
        kept.take(table, values);
      });
    const auto& tables = State::tables();
    if (!std::all_of(tables.begin(), tables.end(),
                     [&](const std::string& table) { return kept.same(table, *folded_); }))
      count_differing();
  }

  // The same again with all rows at hand, to say how many differ.
  void count_differing() {
    Sql& sql = book_.sql();
    const auto drop = [&] {
      for (const std::string& table : State::tables())
        sql.script("DROP TABLE IF EXISTS temp." + table);
    };
    drop();  // one that failed has left them
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
  const std::function<void(std::int64_t, std::int64_t)>& progress_;
  const bool plain_;
  std::int64_t to_come_ = 0;
  Verdict verdict_;
  Part part_ = Part::file;
  std::int64_t untrusted_from_ = 0;
  bool read_to_end_ = false;  // of the journal
  std::set<std::string> lost_persons_, lost_files_;
  VaultCheck named_;
  const std::string key_ = random_bytes(16);
  std::optional<RowSums> folded_;
  std::string unfolded_;  // not empty: why the journal gives no state
};

// By its last entry alone: a rescue puts its own there, and verifies then.
bool may_be_plain(const Book& book) {
  try {
    const auto last = book.sql().text("SELECT kind FROM entry ORDER BY number DESC LIMIT 1");
    return last != rescued_kind;
  } catch (const Error&) {
    return false;
  }
}

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

Verdict verify(Book& book, const std::function<void(std::int64_t, std::int64_t)>& progress) {
  if (may_be_plain(book)) try {
      return Check(book, progress, true).run();
    } catch (const NotPlain&) {
      // All is looked at anew.
    }
  return Check(book, progress, false).run();
}

}  // namespace trencher::book
