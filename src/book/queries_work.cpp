#include <algorithm>

#include "book/kinds.h"
#include "book/mentions.h"
#include "book/queries.h"
#include "book/state.h"
#include "book/tables_in_book.h"
#include "domain/code.h"

namespace trencher::book {
namespace {

constexpr const char* piece_columns = "code, batch, number, signed_off, given, scrapped, turn";

PieceState read_piece(const Row& row) {
  return {row.text(0),         row.text(1),         static_cast<int>(row.number(2)),
          row.maybe_number(3), row.maybe_number(4), row.maybe_number(5),
          row.maybe_number(6)};
}

std::vector<std::string> batches_among(const Book& book, const Touched& touched) {
  std::vector<std::string> out;
  book.sql().each(
      touched.with +
          " SELECT touched.id FROM touched JOIN thing ON thing.id = touched.id"
          " WHERE thing.class = 'batch' ORDER BY touched.id",
      [&](const Row& row) { out.push_back(row.text(0)); }, touched.from);
  return out;
}

}  // namespace

BatchEntries entries_of_batch(const Book& book, std::string_view batch) {
  BatchEntries out;
  // Of what else speaks of a batch some is long, as the words of a card.
  static const std::string statement = said_statement(
      "struck = 0 AND kind <> 'card' AND kind <> 'answer' AND kind <> 'sign-off'"
      " AND kind <> 'photograph'");
  each_said_by(book, batch, statement, [&](const Said& said) {
    if (is_step(said.kind))
      out.steps.push_back(dated(Step::read(said.kind, said.body), said));
    else if (is_turn(said.kind))
      out.turns.push_back(dated(Turn::read(said.kind, said.body), said));
    else if (said.kind == "scrap")
      out.scraps.push_back(dated(Scrap::read(said.body), said));
    else if (said.kind == "give")
      out.gifts.push_back(dated(Gift::read(said.body), said));
    else if (said.kind == "batch")
      out.batch = dated(Batch::read(said.body), said);
  });
  const auto by_time = [](const auto& a, const auto& b) { return a.at.at < b.at.at; };
  std::stable_sort(out.steps.begin(), out.steps.end(), by_time);
  std::stable_sort(out.turns.begin(), out.turns.end(), by_time);
  return out;
}

std::vector<Step> steps_of(const Book& book, std::string_view batch) {
  std::vector<Step> out = steps_from(book, batch);
  std::stable_sort(out.begin(), out.end(),
                   [](const Step& a, const Step& b) { return a.at.at < b.at.at; });
  return out;
}

std::vector<Turn> turns_of(const Book& book, std::string_view batch) {
  std::vector<Turn> out;
  each_said(book, batch, "struck = 0 AND kind IN ('split', 'take-back')", [&](const Said& said) {
    out.push_back(dated(Turn::read(said.kind, said.body), said));
  });
  std::stable_sort(out.begin(), out.end(),
                   [](const Turn& a, const Turn& b) { return a.at.at < b.at.at; });
  return out;
}

std::vector<Scrap> scraps_of(const Book& book, std::string_view batch) {
  return of_kind<Scrap>(book, batch, "scrap");
}

std::vector<OpenWrong> open_wrongs(const Book& book) {
  std::vector<OpenWrong> out;
  book.sql().each("SELECT entry, piece, what FROM made_wrong ORDER BY entry, what, piece",
                  [&](const Row& row) {
                    out.push_back({row.number(0), row.text(1), row.text(2)});
                  });
  return out;
}

std::vector<Statement> statements_on(const Book& book, const std::vector<std::string>& subjects) {
  std::vector<Statement> out;
  for (const std::string& subject : subjects)
    for (Statement& statement : of_kind<Statement>(book, subject, "statement"))
      out.push_back(std::move(statement));
  return out;
}

std::vector<SignOff> sign_offs_of(const Book& book, std::string_view batch) {
  return of_kind<SignOff>(book, batch, "sign-off");
}

std::vector<Gift> gifts_of(const Book& book, std::string_view batch) {
  return of_kind<Gift>(book, batch, "give");
}

std::vector<PrintedCard> cards_of(const Book& book, std::string_view batch) {
  return of_kind<PrintedCard>(book, batch, "card");
}

Fate fate_of(const Book& book, std::string_view batch) {
  Fate out;
  static const std::string statement = said_statement(
      "struck = 0 AND CASE kind WHEN 'give' THEN 1 WHEN 'scrap' THEN 1 WHEN 'split' THEN 1"
      " WHEN 'take-back' THEN 1 WHEN 'sign-off' THEN 1 WHEN 'card' THEN 1 ELSE 0 END");
  each_said_by(book, batch, statement, [&](const Said& said) {
    if (said.kind == "give")
      out.gifts.push_back(dated(Gift::read(said.body), said));
    else if (said.kind == "scrap")
      out.scraps.push_back(dated(Scrap::read(said.body), said));
    else if (said.kind == "sign-off")
      out.sign_offs.push_back(dated(SignOff::read(said.body), said));
    else if (said.kind == "card")
      out.cards.push_back(dated(PrintedCard::read(said.body), said));
    else
      out.turns.push_back(dated(Turn::read(said.kind, said.body), said));
  });
  return out;
}

std::vector<std::int64_t> open_rags(const Book& book, std::string_view batch) {
  std::vector<std::int64_t> out;
  book.sql().each(
      "SELECT entry FROM open_rags WHERE batch = ? ORDER BY entry",
      [&](const Row& row) { out.push_back(row.number(0)); }, std::string(batch));
  return out;
}

std::vector<std::pair<std::int64_t, std::string>> all_open_rags(const Book& book) {
  std::vector<std::pair<std::int64_t, std::string>> out;
  book.sql().each("SELECT entry, batch FROM open_rags ORDER BY entry",
                  [&](const Row& row) { out.emplace_back(row.number(0), row.text(1)); });
  return out;
}

std::optional<PieceState> find_piece(const Book& book, std::string_view code) {
  std::optional<PieceState> out;
  book.sql().each(
      fmt::format("SELECT {} FROM piece WHERE code = ?", piece_columns),
      [&](const Row& row) { out = read_piece(row); }, std::string(code));
  return out;
}

std::vector<PieceState> pieces_of(const Book& book, std::string_view batch) {
  // By the codes, which begin with the batch's: the rows lie together in that order, and an index
  // would look each of them up.
  static const std::string statement = fmt::format(
      "SELECT {} FROM piece WHERE code > ?1 || '-' AND code < ?1 || '.' AND +batch = ?1",
      piece_columns);
  std::vector<PieceState> out;
  book.sql().each(
      statement, [&](const Row& row) { out.push_back(read_piece(row)); }, std::string(batch));
  std::sort(out.begin(), out.end(),
            [](const PieceState& a, const PieceState& b) { return a.number < b.number; });
  return out;
}

DrawnSum drawn_from(const Book& book, std::string_view tin) {
  const auto row = tin_row(book.sql(), std::string(tin));
  return row ? DrawnSum{row->drawn_ul, row->drawn_mg, row->first} : DrawnSum{};
}

std::vector<Effective> history_of(const Book& book, std::string_view id) {
  std::vector<Effective> out;
  each_mention(book, id, "1", [&](Effective e) { out.push_back(std::move(e)); });
  return out;
}

std::vector<Effective> struck_of(const Book& book, std::string_view id) {
  std::vector<Effective> out;
  each_mention(book, id, "struck = 1", [&](Effective e) { out.push_back(std::move(e)); });
  return out;
}

std::vector<Entry> amendments_of(const Book& book, std::int64_t number) {
  std::vector<Entry> out;
  book.sql().each(
      "SELECT entry FROM mention WHERE id = ? AND kind IN ('correction', 'strike') ORDER BY entry",
      [&](const Row& row) { out.push_back(*book.entry(row.number(0))); }, entry_id(number));
  return out;
}

std::vector<std::string> batches_reached(const Book& book, std::int64_t number, const Json* body) {
  return batches_among(book, touched_by(book.sql(), number, body));
}

std::vector<std::string> batches_touched(const Book& book, const std::vector<std::string>& ids) {
  return batches_among(book, touched_by(ids));
}

std::vector<std::string> mixes_of(const Book& book, std::string_view tin) {
  std::vector<std::string> out;
  for (const Mix& mix : of_kind<Mix>(book, tin, "mix"))
    if (mix.id != tin) out.push_back(mix.id);
  return out;
}

std::vector<Step> steps_from(const Book& book, std::string_view tin) {
  std::vector<Step> out;
  each_said(book, tin, "struck = 0", [&](const Said& said) {
    if (is_step(said.kind)) out.push_back(dated(Step::read(said.kind, said.body), said));
  });
  return out;
}

std::vector<std::string> tins_of_product(const Book& book, std::string_view product) {
  std::vector<std::string> out;
  for (const Tin& tin : of_kind<Tin>(book, product, "tin")) out.push_back(tin.id);
  return out;
}

std::vector<std::string> batches_of_lot(const Book& book, std::string_view lot) {
  std::vector<std::string> out;
  for (const Batch& batch : of_kind<Batch>(book, lot, "batch")) out.push_back(batch.code);
  return out;
}

std::vector<std::string> batches_at(const Book& book, std::string_view place) {
  std::vector<std::string> out;
  book.sql().each(
      "SELECT reached FROM reach JOIN thing ON thing.id = reached AND thing.class = 'batch'"
      " WHERE reach.id = ?1"
      " AND EXISTS (SELECT 1 FROM mention AS there JOIN mention AS here"
      "   ON here.id = ?1 AND here.entry = there.entry"
      "   WHERE there.id = reached AND there.struck = 0"
      "   AND there.kind IN ('batch', 'move', 'take-back'))"
      " AND EXISTS (SELECT 1 FROM piece WHERE piece.batch = reached AND (signed_off OR given))"
      " ORDER BY reached",
      [&](const Row& row) { out.push_back(row.text(0)); }, place_id(place));
  return out;
}

}  // namespace trencher::book
