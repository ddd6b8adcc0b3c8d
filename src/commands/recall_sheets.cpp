#include "commands/recall_sheets.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/losses.h"
#include "commands/people.h"
#include "domain/text.h"
#include "exchange/csv.h"

namespace trencher::commands {
namespace {

using Cells = std::vector<std::string>;

std::string sheet(Cells head, std::vector<Cells> rows, bool practice) {
  if (practice) {
    head.insert(head.begin(), "practice");
    for (Cells& row : rows) row.insert(row.begin(), "PRACTICE");
  }
  std::string out = exchange::sheet_record(head);
  for (const Cells& row : rows) out += exchange::sheet_record(row);
  return out;
}

std::string day(const std::optional<Moment>& at) { return at ? iso(local_day(*at)) : ""; }

void add_once(Cells& list, const std::string& value) {
  if (std::find(list.begin(), list.end(), value) == list.end()) list.push_back(value);
}

// How one withdrawn thing came onto the piece: product, supplier, lot, entries, dates, by way of.
Cells cells_of(Call& call, const RecalledPiece& piece, const std::string& id) {
  Cells entries, dates, mixes;
  for (const Touch& touch : piece.piece.touches) {
    if (touch.id != id) continue;
    add_once(entries, std::to_string(touch.entry));
    add_once(dates, day(touch.at));
    if (touch.by != id) add_once(mixes, touch.by);
  }
  std::string name, supplier, lot;
  if (const auto tin = book::find_tin(call.book(), id)) {
    name = tin->name;
    supplier = tin->supplier;
    lot = tin->lot;
  } else if (const auto wood = book::find_wood(call.book(), id)) {
    name = wood->common_name;
    supplier = wood->supplier;
    lot = wood->lot;
  }
  return {id, name, supplier, lot, join(entries, " "), join(dates, " "), join(mixes, " ")};
}

// Who had it, of whom the book has no name any more.
std::string gone_words(Call& call, const std::string& id) {
  return is_lost_person(call.book(), id) ? std::string(book::lost_words) + "; no contact"
                                         : forgotten_person;
}

// When it left, how, to which market, whether to a food business, to whom.
Cells cells_of(Call& call, const std::optional<Holding>& now) {
  if (!now) return {"", "", "", "", "", ""};
  const auto person = call.book().person(now->gift.person);
  return {day(now->gift.at),
          now->gift.as,
          now->gift.market,
          now->gift.food_business ? "yes" : "no",
          now->gift.is_to_stranger() ? stranger_words(now->gift.event)
          : person                   ? person->name
                                     : gone_words(call, now->gift.person),
          person ? person->contact : ""};
}

Cells codes_of(const std::vector<const RecalledPiece*>& pieces) {
  Cells out;
  for (const RecalledPiece* piece : pieces) out.push_back(piece->piece.code);
  return out;
}

Cells states_of(const RecalledPerson& person) {
  Cells out;
  for (const RecalledPiece* piece : person.now) add_once(out, piece->state);
  if (person.now.empty()) out.push_back("had it earlier");
  return out;
}

}  // namespace

std::string pieces_sheet(Call& call, const std::vector<RecalledPiece>& pieces, bool practice) {
  const Cells head{"code",      "batch",         "use",           "wood",      "state",
                   "made_on",   "finished_on",   "signed_off_on", "left_on",   "how",
                   "market",    "food_business", "person",        "contact",   "withdrawn",
                   "product",   "supplier",      "lot",           "put_on_by", "put_on_on",
                   "by_way_of", "recall_state",  "told_on",       "told_how"};
  std::vector<Cells> rows;
  for (const RecalledPiece& piece : pieces) {
    Cells ids;
    for (const Touch& touch : piece.piece.touches) add_once(ids, touch.id);
    for (const std::string& id : ids) {
      Cells row{piece.piece.code,    piece.piece.batch,
                piece.batch.use,     join(piece.batch.wood, " "),
                piece.whereabouts(), day(piece.batch.at),
                day(piece.finished), day(piece.signed_off)};
      for (Cells& part : std::vector{cells_of(call, piece.now), cells_of(call, piece, id)})
        row.insert(row.end(), part.begin(), part.end());
      row.push_back(piece.state);
      row.push_back(piece.told ? day(piece.told->at) : "");
      row.push_back(piece.told ? piece.told->how : "");
      rows.push_back(std::move(row));
    }
  }
  return sheet(head, std::move(rows), practice);
}

std::string gone_words(Call& call, const RecalledPerson& person) {
  const auto& pieces = person.now.empty() ? person.before : person.now;
  return gone_words(call, pieces.empty() || !pieces.front()->now
                              ? std::string()
                              : pieces.front()->now->gift.person);
}

std::string people_sheet(Call& call, const std::vector<RecalledPerson>& people, bool practice) {
  std::vector<Cells> rows;
  for (const RecalledPerson& person : people)
    rows.push_back({person.person              ? person.person->name
                    : !person.stranger.empty() ? person.stranger
                                               : gone_words(call, person),
                    person.person ? person.person->contact : "", join(codes_of(person.now), " "),
                    join(codes_of(person.before), " "),
                    join({person.markets.begin(), person.markets.end()}, " "),
                    join(states_of(person), ", ")});
  return sheet({"person", "contact", "has", "had_earlier", "markets", "recall_state"},
               std::move(rows), practice);
}

}  // namespace trencher::commands
