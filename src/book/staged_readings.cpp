#include "book/staged_readings.h"

#include <SQLiteCpp/SQLiteCpp.h>
#include <fmt/format.h>

#include <algorithm>
#include <vector>

#include "book/kinds.h"
#include "book/queries.h"
#include "book/sql.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

constexpr const char* table =
    "CREATE TABLE staged("
    "  at INTEGER PRIMARY KEY,"  // seconds since 1970, UTC
    "  temp_mc INTEGER NOT NULL,"
    "  rh INTEGER,"             // tenths of a per cent
    "  line INTEGER NOT NULL,"  // of the file
    "  held INTEGER"  // by the book: 1 this value, 0 another, null none; a row never grows
    ") STRICT";

std::int64_t seconds(Instant at) { return at.time_since_epoch().count(); }

}  // namespace

// A database without a name is a file that SQLite makes in the system's folder for temporary ones
// and unlinks at once. It is apart from the book's connection, so that it takes no part in the
// book's transactions.
struct StagedReadings::Store {
  SQLite::Database database;
  // After the database: statements must die before it.
  SQLite::Statement add, other, hold;

  explicit Store(SQLite::Database opened)
      : database(std::move(opened)),
        add(database, "INSERT INTO staged VALUES (?1, ?2, ?3, ?4, NULL) ON CONFLICT DO NOTHING"),
        other(database,
              "SELECT line FROM staged WHERE at = ?1 AND NOT (temp_mc = ?2 AND rh IS ?3)"),
        hold(database, "UPDATE staged SET held = (temp_mc = ?2 AND rh IS ?3) WHERE at = ?1") {}

  static SQLite::Database open() {
    SQLite::Database out("", SQLite::OPEN_READWRITE);
    // One transaction that never ends: there is nobody to see it, and nothing to go back to.
    out.exec("PRAGMA journal_mode=OFF; PRAGMA synchronous=OFF; PRAGMA cache_size=-16000");
    out.exec(table);
    out.exec("BEGIN");
    return out;
  }

  // Ready to run with ?1 to ?3 of a sample.
  static SQLite::Statement& bound(SQLite::Statement& statement, const Reading& sample) {
    statement.tryReset();
    statement.bind(1, seconds(sample.at));
    statement.bind(2, sample.temp.milli);
    if (sample.rh)
      statement.bind(3, sample.rh->permille);
    else
      statement.bind(3);
    return statement;
  }
};

template <typename Work>
auto StagedReadings::guarded(Work work) const {
  try {
    return work();
  } catch (const SQLite::Exception& failure) {
    throw Error::book(fmt::format(
        "The temporary file that the readings wait in failed: {}. Nothing was written to "
        "the book {}. The variable TMPDIR names another folder for it.",
        failure.getErrorStr(), book_.path().string()));
  }
}

StagedReadings::StagedReadings(const Book& book) : book_(book) {
  guarded([&] { store_ = std::make_unique<Store>(Store::open()); });
}

StagedReadings::~StagedReadings() = default;

std::optional<std::int64_t> StagedReadings::add(const Reading& sample, std::int64_t line) {
  return guarded([&]() -> std::optional<std::int64_t> {
    SQLite::Statement& insert = Store::bound(store_->add, sample);
    insert.bind(4, line);
    if (!span_) span_ = {sample.at, sample.at};
    span_ = {std::min(span_->first, sample.at), std::max(span_->last, sample.at)};
    if (insert.exec() == 1) return {};
    SQLite::Statement& other = Store::bound(store_->other, sample);
    if (!other.executeStep()) return {};
    return other.getColumn(0).getInt64();
  });
}

StagedReadings::Compared StagedReadings::compare(std::string_view place, const Told& told) {
  const auto hold = [&](const Reading& held) {
    guarded([&] { Store::bound(store_->hold, held).exec(); });
  };
  // In the order of the entries, so that the last one counts.
  const auto take = [&](std::int64_t number) {
    const Effective entry = *effective_entry(book_, number);
    if (is_step(entry.entry.kind)) {
      const Step step = Step::read(entry.entry.kind, entry.body);
      if (step.temp) hold({number, entry.happened.at, *step.temp, step.rh});
    } else if (entry.entry.kind == "readings") {
      for (const Reading& held : Readings::read(number, entry.body).samples) hold(held);
    }
  };
  std::vector<std::int64_t> entries;
  if (span_)
    book_.sql().each(
        "SELECT entry FROM readings_span WHERE place = ?1 AND first_s <= ?3 AND last_s >= ?2"
        " UNION SELECT entry FROM noted_air"
        "  WHERE place = ?1 AND has_rh IN (0, 1) AND at_s BETWEEN ?2 AND ?3"
        " ORDER BY entry",
        [&](const Row& row) { entries.push_back(row.number(0)); }, std::string(place),
        seconds(span_->first), seconds(span_->last));
  for (std::size_t i = 0; i < entries.size(); ++i) {
    take(entries[i]);
    if (told) told(i + 1, entries.size());
  }
  return guarded([&] {
    SQLite::Statement counts(
        store_->database,
        "SELECT count(*), count(*) FILTER (WHERE held = 1), count(*) FILTER (WHERE held = 0),"
        " min(at) FILTER (WHERE held IS NOT 1), max(at) FILTER (WHERE held IS NOT 1) FROM staged");
    counts.executeStep();
    const auto number = [&](int column) { return counts.getColumn(column).getInt64(); };
    Compared out{number(0) - number(1), number(1), number(2), {}};
    if (out.fresh > 0) out.fresh_span = {Instant(Seconds(number(3))), Instant(Seconds(number(4)))};
    return out;
  });
}

void StagedReadings::each_fresh(const std::function<void(const Reading&)>& use) const {
  guarded([&] {
    SQLite::Statement rows(store_->database,
                           "SELECT at, temp_mc, rh FROM staged WHERE held IS NOT 1 ORDER BY at");
    while (rows.executeStep()) {
      const auto number = [&](int column) { return rows.getColumn(column).getInt64(); };
      Reading sample{0, Instant(Seconds(number(0))), {number(1)}, {}};
      if (!rows.isColumnNull(2)) sample.rh = Percent{number(2)};
      use(sample);
    }
  });
}

}  // namespace trencher::book
