// What several commands need from an open book: a batch with all that bears on it, ids checked
// against what is there, and the shipped tables beside the user's own.
#pragma once

#include <map>
#include <optional>
#include <string>
#include <vector>

#include "book/queries.h"
#include "commands/air.h"
#include "commands/call.h"
#include "commands/what_if.h"
#include "domain/code.h"
#include "engine/schedule.h"
#include "engine/suitability.h"

namespace trencher::commands {

// A species, shipped or the user's own.
std::optional<Species> find_species(const book::Book& book, std::string_view id);
// The plain name of an allergen or substance id, without the remark in brackets; the id where it
// has none.
std::string allergen_name(const std::string& id);

// The batch of that code. Error::request with near matches where there is none.
Batch need_batch(Call& call, const std::string& code);
// The tin of that id, which is of one of `stocks`: glue, finish, other. Error::request likewise.
Tin need_tin(Call& call, const std::string& id, const std::vector<std::string>& stocks);
// What is left in it by the record; absent where nobody said what it held.
std::optional<Amount> amount_left(Call& call, const Tin& tin);
// A tin with all that it was mixed from, resolved.
engine::Tins load_mix(Call& call, const std::string& id);

// A place by its name or id; the only one where nothing is typed; else asked for. Error::request
// with near matches.
Place need_place(Call& call, std::string typed, const std::string& question);

// The pieces that a word means: a piece's code or a batch's (all its pieces). A code whose check
// fails is refused with the existing codes one slip away.
struct Pieces {
  std::string batch;
  std::vector<int> numbers;
  bool whole_batch = false;
};
Pieces need_pieces(Call& call, const std::string& code);
// The same as one word, in the form that the book has, however it was typed.
std::string code_of(const Pieces& named);

// The numbers of `named`, or of the list typed with a batch's code. Error::request where the list
// goes with the code of a piece.
std::vector<int> chosen_pieces(Call& call, const Pieces& named, const std::string& typed);

// Those of `named` (or of the list typed with it) that are here at a moment; of a whole batch those
// that are. Error::request where one that is named is not, or none is left: "it cannot be <done>".
std::vector<book::PieceState> need_pieces_here(Call& call, const Pieces& named,
                                               const std::string& typed, Instant at,
                                               const std::string& done);

// What a batch is made of and what was done to it, as the book stands.
struct BatchRecord {
  engine::SuitabilityFacts facts;  // its `work` is the batch with its steps, turns and tins
  std::vector<Scrap> scraps;
  const Batch& batch() const { return facts.work.batch; }
};
// Without what dates and amounts need: when tins were opened, what is left in them, open rags. It
// takes no longer for a tin that much was drawn from, or for a place with many readings.
BatchRecord record_of_batch(Call& call, const std::string& code);

// Everything the engine asks about a batch.
struct BatchView : BatchRecord {
  engine::PieceConditions conditions;
  std::vector<Gift> gifts;
  std::vector<book::PieceState> pieces;
};

// How a piece stands at a moment: entries, or nothing.
struct Standing {
  std::optional<std::int64_t> given, scrapped;
  std::int64_t way = 0;  // the split or take-back whose way it goes; 0: its batch's
  bool here() const { return !given && !scrapped; }
};
Standing standing_at(const BatchView& view, int piece, Instant at);
// The pieces of the batch, or those of `pieces`, that are not scrapped, by the way that they go
// now: the batch's own first.
struct Way {
  std::int64_t turn = 0;
  std::vector<int> pieces;
};
std::vector<Way> ways_of(const BatchView& view, const std::vector<int>& pieces, Instant now);
// What was looked up for one batch and may be for the next, by id. Good while nothing is entered
// that bears on it.
struct KnownShop {
  struct KnownTin {
    std::optional<Tin> tin;
    std::optional<Amount> left;
  };
  std::map<std::string, KnownTin> tins;
  std::map<std::string, std::vector<Statement>> statements;    // by what they are about
  std::map<std::string, std::vector<Withdrawal>> withdrawals;  // by tin or lot
  std::map<std::string, std::optional<WoodLot>> wood;
  std::map<std::string, std::optional<Species>> species;
  std::optional<std::vector<Rescued>> rescues;
  KnownPlaces places;
  // A step was entered: there is less in the tins that it took from, and they are open; and the air
  // was read.
  void forget_use(const Step& step);
};
// `more_tins`: tins that a step about to be logged names.
BatchView view_batch(Call& call, const std::string& code,
                     const std::vector<std::string>& more_tins = {}, const WhatIf& what_if = {});
// The same where several batches are looked at in turn, or one before and after.
BatchView view_batch(Call& call, const std::string& code, KnownShop& known,
                     const WhatIf& what_if = {});
// The view as it is with these tins, too.
void add_tins(Call& call, BatchView& view, const std::vector<std::string>& tins, KnownShop& known);

// The facts as they are for some pieces alone: their steps and their turns.
engine::SuitabilityFacts facts_about(const BatchView& view, const std::vector<int>& pieces);

// What is withdrawn and on one of the pieces.
struct OnPiece {
  int piece = 0;   // 0: on all, a wood lot
  std::string id;  // the tin that was put on, maybe a mix
  Withdrawal word;
};
std::optional<OnPiece> withdrawn_on(const BatchView& view, const std::vector<int>& pieces);
// Error::request where a tin or wood lot is withdrawn, or where one that is withdrawn is on one of
// the pieces; no reason overrides that.
void demand_not_withdrawn(Call& call, const std::string& id);
void demand_not_withdrawn(const BatchView& view, const std::vector<int>& pieces);

// The dates of some pieces: of each date the latest of them; where none is named, of those that go
// the batch's own way.
std::vector<engine::Date> dates_of(const BatchView& view, const std::vector<int>& pieces,
                                   Instant now);

// A date as the contract gives it in JSON: {"name","at","guessed",...}.
Json date_json(Call& call, const engine::Date& date);
// Nothing where it has no moment.
std::optional<Day> food_contact_day(Call& call, const std::vector<engine::Date>& dates,
                                    bool& guessed);
const engine::Date* find_date(const std::vector<engine::Date>& dates, std::string_view name);

}  // namespace trencher::commands
