// What the book says, as values of domain/records.h. Everything read here is effective: corrected
// bodies count, struck entries are absent, unless said otherwise.
#pragma once

#include <functional>
#include <map>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "book/book.h"
#include "domain/records.h"

namespace trencher::book {

// An entry with the body that counts.
struct Effective {
  Entry entry;      // as it was written
  Json body;        // the correction's, or its own
  Moment happened;  // likewise
  std::optional<std::int64_t> corrected_by, struck_by;
};
std::optional<Effective> effective_entry(const Book& book, std::int64_t number);
// Every one, in number order; no more than one is held.
void each_effective(const Book& book, const std::function<void(const Effective&)>& use);

// What stands for words that only a lost entry said.
inline constexpr const char* lost_words = "lost: not known";

// What rescues of this book noted as lost, the latest last; empty in any other book.
std::vector<Rescued> rescues_of(const Book& book);
// Whether the entry that made the thing is lost, so that only other entries speak of it.
bool is_lost_thing(const Book& book, std::string_view id);

Workshop workshop(const Book& book);
std::int64_t workshop_entry(const Book& book);
// The settings over time: entry, when they were stated, and what they said.
struct WorkshopStatement {
  std::int64_t entry = 0;
  Moment at;
  Workshop said;
};
std::vector<WorkshopStatement> workshop_statements(const Book& book);
std::vector<Worker> workers(const Book& book);
std::vector<Place> places(const Book& book);
std::optional<Place> find_place(const Book& book, std::string_view id);
// How a place was stated over time, the first statement first.
std::vector<std::pair<Moment, Place>> place_statements(const Book& book, std::string_view id);
std::vector<Species> own_species(const Book& book);
std::optional<Species> find_own_species(const Book& book, std::string_view id);
std::vector<OwnRules> own_rules(const Book& book);  // every file of them, by entry
std::vector<Product> product_versions(const Book& book, std::string_view id);  // by version
std::optional<Product> find_product(const Book& book, std::string_view id);    // the latest version
std::optional<WoodLot> find_wood(const Book& book, std::string_view id);
// With its product's figures and contents under its own, and when it was opened. A mix has the kind
// 'mix'; what follows from its sources is engine/mix.h's to say.
std::optional<Tin> find_tin(const Book& book, std::string_view id);
// The same without when it was opened, which drawn_from() tells too.
std::optional<Tin> find_tin_unopened(const Book& book, std::string_view id);
std::optional<Batch> find_batch(const Book& book, std::string_view code);

std::vector<std::string> ids_of_class(const Book& book,
                                      std::string_view class_name);  // in order made
std::string class_of(const Book& book, std::string_view id);         // empty: no such id
std::vector<std::string> open_batches(const Book& book);

// What the entries in force say of one batch, each read once.
struct BatchEntries {
  std::optional<Batch> batch;  // absent: lost, or no such batch
  std::vector<Step> steps;     // by when they happened
  std::vector<Turn> turns;     // likewise
  std::vector<Scrap> scraps;
  std::vector<Gift> gifts;
};
BatchEntries entries_of_batch(const Book& book, std::string_view batch);
std::vector<Step> steps_of(const Book& book, std::string_view batch);  // by when they happened
std::vector<Statement> statements_on(const Book& book, const std::vector<std::string>& subjects);
std::vector<SignOff> sign_offs_of(const Book& book, std::string_view batch);
std::vector<Gift> gifts_of(const Book& book, std::string_view batch);
std::vector<Turn> turns_of(const Book& book, std::string_view batch);  // by when they happened
std::vector<Scrap> scraps_of(const Book& book, std::string_view batch);
std::vector<Withdrawal> withdrawals_of(const Book& book, std::string_view id);
// Every withdrawal in force.
std::vector<Withdrawal> withdrawals(const Book& book);
// How far the recall of a withdrawal (an entry) has come, and whether the maker has ended it.
std::vector<RecallStep> recall_steps_of(const Book& book, std::int64_t withdrawal);
std::vector<RecallEnd> recall_ends_of(const Book& book, std::int64_t withdrawal);
std::vector<KeptAnswer> answers_of(const Book& book, std::string_view batch);
std::vector<KeptAnswer> kept_answers(const Book& book);  // every one, by entry
std::vector<Complaint> complaints_of(const Book& book, std::string_view batch);
std::vector<Complaint> complaints(const Book& book);  // every one, by entry
std::optional<Photograph> photograph_of(const Book& book, std::string_view batch);
std::vector<PrintedCard> cards_of(const Book& book, std::string_view batch);
// What became of the pieces of a batch, by entry: read at once, since a tin may be on thousands.
struct Fate {
  std::vector<Gift> gifts;
  std::vector<Scrap> scraps;
  std::vector<Turn> turns;
  std::vector<SignOff> sign_offs;
  std::vector<PrintedCard> cards;
};
Fate fate_of(const Book& book, std::string_view batch);
std::vector<std::int64_t> open_rags(const Book& book, std::string_view batch);
// Coats whose rags are open, over all batches: entry and batch.
std::vector<std::pair<std::int64_t, std::string>> all_open_rags(const Book& book);

struct PieceState {
  std::string code, batch;
  int number = 0;
  std::optional<std::int64_t> signed_off, given, scrapped, turn;  // entries
  bool here() const { return !given && !scrapped; }
};
std::optional<PieceState> find_piece(const Book& book, std::string_view code);
// What an entry made wrong, or complained of, and nobody has dealt with: one row a piece and kind
// of thing.
struct OpenWrong {
  std::int64_t entry = 0;
  std::string piece;
  std::string what;  // sign-off, card, gift, answer, complaint
};
std::vector<OpenWrong> open_wrongs(const Book& book);
std::vector<PieceState> pieces_of(const Book& book, std::string_view batch);

// Readings of a place from the last before `from` to the first after `to`, and on to the next with
// a humidity where those have none, by time, one a moment (of two for one moment the later entry
// counts). The coats and steps logged there with a
// temperature are readings too.
std::vector<Reading> readings_at(const Book& book, std::string_view place, Instant from,
                                 Instant to);

// What was drawn from a tin by effective steps and mixes, per measure: microlitres and milligrams;
// and when it was first opened or drawn from.
struct DrawnSum {
  std::int64_t ul = 0, mg = 0;
  std::optional<Moment> first;
};
DrawnSum drawn_from(const Book& book, std::string_view tin);

// Every entry that speaks of `id`, in number order, struck ones and amendments among them.
std::vector<Effective> history_of(const Book& book, std::string_view id);
// Those of them that are struck.
std::vector<Effective> struck_of(const Book& book, std::string_view id);
// The corrections and strikes of an entry, oldest first.
std::vector<Entry> amendments_of(const Book& book, std::int64_t number);

// The batches that are or were at a place, and have pieces that are signed off or have left.
std::vector<std::string> batches_at(const Book& book, std::string_view place);
// The batches that an amendment of entry `number` bears on, as the book stands before it; with
// those that `body`, put in its place, would name.
std::vector<std::string> batches_reached(const Book& book, std::int64_t number,
                                         const Json* body = nullptr);

// The batches that an entry about these ids would bear on.
std::vector<std::string> batches_touched(const Book& book, const std::vector<std::string>& ids);
// Mixes that hold the tin directly.
std::vector<std::string> mixes_of(const Book& book, std::string_view tin);
// The steps that speak of an id: those that draw from a tin, say, in number order.
std::vector<Step> steps_from(const Book& book, std::string_view id);
std::vector<std::string> tins_of_product(const Book& book, std::string_view product);
// The batches that are made of a wood lot.
std::vector<std::string> batches_of_lot(const Book& book, std::string_view lot);

// "F" gives F1, F2, ...; a number once given out is never used again, struck or not.
std::int64_t next_number(const Book& book, std::string_view prefix);

// Ids that `body`, put in place of what entry `number` says (or nothing: a strike), would make
// vanish although other entries speak of them, with one such entry each; and ids that are gone
// already and that the entry would speak of again. Striking a correction or a strike is judged by
// what its entry then says.
struct Vanishing {
  std::string id;
  std::int64_t needed_by = 0;
};
std::vector<Vanishing> would_vanish(const Book& book, std::int64_t number, const Json* body);

}  // namespace trencher::book
