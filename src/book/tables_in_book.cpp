#include "book/tables_in_book.h"

#include <algorithm>

#include "book/kinds.h"

namespace trencher::book {
namespace {

PieceRow read_piece(const Row& row) {
  PieceRow out;
  if (const auto entry = row.maybe_number(1))
    out.signed_off = {*entry, instant_from_iso(row.text(2))};
  out.given = row.maybe_number(3);
  out.scrapped = row.maybe_number(4);
  out.turn = row.maybe_number(5);
  return out;
}

}  // namespace

std::optional<TinRow> tin_row(Sql& sql, const std::string& tin) {
  std::optional<TinRow> out;
  sql.each(
      "SELECT drawn_ul, drawn_mg, first_s, first_offset FROM tin_use WHERE tin = ?",
      [&](const Row& row) {
        out = {row.number(0),
               row.number(1),
               {Instant(Seconds(row.number(2))), static_cast<int>(row.number(3))}};
      },
      tin);
  return out;
}

void TablesInBook::mention(const std::string& id, std::int64_t entry, std::string_view kind,
                           bool struck) {
  sql_.run("INSERT INTO mention VALUES (?, ?, ?, ?)", id, entry, std::string(kind), struck ? 1 : 0);
}

void TablesInBook::thing(const std::string& id, const std::string& class_name, std::int64_t entry) {
  sql_.run(
      "INSERT INTO thing VALUES (?, ?, ?) ON CONFLICT (id) DO UPDATE SET entry = excluded.entry",
      id, class_name, entry);
}

void TablesInBook::count(const std::string& prefix, std::int64_t number) {
  sql_.run(
      "INSERT INTO counter VALUES (?, ?)"
      " ON CONFLICT (prefix) DO UPDATE SET last = excluded.last WHERE last < excluded.last",
      prefix, number);
}

void TablesInBook::reach(const std::string& id, const std::string& reached) {
  sql_.run("INSERT OR IGNORE INTO reach VALUES (?, ?)", id, reached);
}

void TablesInBook::add_batch(const std::string& batch, int pieces) {
  std::vector<int> numbers;
  for (int number = 1; number <= pieces; ++number) numbers.push_back(number);
  const std::vector<std::string> codes = piece_codes(batch, numbers);
  for (std::size_t i = 0; i < codes.size(); ++i)
    sql_.run("INSERT INTO piece (code, batch, number) VALUES (?, ?, ?)", codes[i], batch,
             numbers[i]);
  if (pieces > 0) sql_.run("INSERT INTO open_batch VALUES (?, ?)", batch, pieces);
}

void TablesInBook::change_pieces(const std::string& batch, const std::vector<int>& numbers,
                                 const std::function<void(PieceRow&)>& change) {
  std::vector<std::pair<std::string, PieceRow>> changed;
  bool count_anew = false;
  sql_.each(
      "SELECT code, signed_off, signed_off_at, given, scrapped, turn, number FROM piece"
      " WHERE batch = ?",
      [&](const Row& row) {
        const auto number = static_cast<int>(row.number(6));
        if (!numbers.empty() && std::find(numbers.begin(), numbers.end(), number) == numbers.end())
          return;
        const PieceRow before = read_piece(row);
        PieceRow after = before;
        change(after);
        if (after == before) return;
        count_anew = count_anew || after.given != before.given || after.scrapped != before.scrapped;
        changed.emplace_back(row.text(0), after);
      },
      batch);
  for (const auto& [code, piece] : changed) {
    std::optional<std::int64_t> entry;
    std::optional<std::string> at;
    if (piece.signed_off) {
      entry = piece.signed_off->entry;
      at = iso(piece.signed_off->at);
    }
    sql_.run(
        "UPDATE piece SET signed_off = ?, signed_off_at = ?, given = ?, scrapped = ?, turn = ?"
        " WHERE code = ?",
        entry, at, piece.given, piece.scrapped, piece.turn, code);
  }
  if (!count_anew) return;
  sql_.run("DELETE FROM open_batch WHERE batch = ?", batch);
  sql_.run(
      "INSERT INTO open_batch SELECT batch, count(*) FROM piece"
      " WHERE batch = ? AND given IS NULL AND scrapped IS NULL GROUP BY batch",
      batch);
}

bool TablesInBook::has_piece(const std::string& batch, int number) {
  return sql_.number("SELECT 1 FROM piece WHERE batch = ? AND number = ?", batch, number)
      .has_value();
}

void TablesInBook::change_tin(const std::string& tin,
                              const std::function<void(std::optional<TinRow>&)>& change) {
  std::optional<TinRow> row = tin_row(sql_, tin);
  change(row);
  sql_.run("INSERT OR REPLACE INTO tin_use VALUES (?, ?, ?, ?, ?)", tin, row->drawn_ul,
           row->drawn_mg, row->first.at.time_since_epoch().count(), row->first.offset_minutes);
}

void TablesInBook::add_rags(std::int64_t coat, const std::string& batch) {
  sql_.run("INSERT INTO open_rags VALUES (?, ?)", coat, batch);
}

void TablesInBook::take_rags(std::int64_t coat) {
  sql_.run("DELETE FROM open_rags WHERE entry = ?", coat);
}

void TablesInBook::add_span(const std::string& place, std::int64_t first_s, std::int64_t entry,
                            std::int64_t last_s) {
  sql_.run("INSERT INTO readings_span (place, first_s, entry, last_s) VALUES (?, ?, ?, ?)", place,
           first_s, entry, last_s);
}

void TablesInBook::add_air(const std::string& place, const Reading& noted) {
  sql_.run("INSERT INTO noted_air VALUES (?, ?, ?, ?, ?, ?)", place, noted.rh ? 1 : 0,
           noted.at.time_since_epoch().count(), noted.entry, noted.temp.milli,
           noted.rh ? std::optional(noted.rh->permille) : std::nullopt);
}

void TablesInBook::add_wrong(std::int64_t entry, const std::string& piece, const char* what) {
  sql_.run("INSERT OR IGNORE INTO made_wrong VALUES (?, ?, ?)", entry, piece, what);
}

void TablesInBook::take_wrong(std::int64_t entry, const std::string& piece) {
  sql_.run("DELETE FROM made_wrong WHERE entry = ? AND piece = ?", entry, piece);
}

void TablesInBook::settle(const std::string& piece, std::string_view what) {
  sql_.run("DELETE FROM made_wrong WHERE piece = ? AND what = ?", piece, std::string(what));
}

void TablesInBook::card_has_left(const std::string& piece) {
  sql_.run("UPDATE OR REPLACE made_wrong SET what = 'gift' WHERE piece = ? AND what = 'card'",
           piece);
}

}  // namespace trencher::book
