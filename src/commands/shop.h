// What several commands need from an open book: a batch with all that bears on it, ids checked
// against what is there, and the shipped tables beside the user's own.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "commands/call.h"
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
// The tin of that id, of glue or finish as `stock` says. Error::request likewise.
Tin need_tin(Call& call, const std::string& id, const std::string& stock);

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

// Where the batch is at a moment.
std::string place_at(const Batch& batch, const std::vector<Step>& steps, Instant at);

// Everything the engine asks about a batch, as the book stands.
struct BatchView {
  engine::SuitabilityFacts facts;  // its `work` is the batch with its steps and tins
  engine::Conditions conditions;
  const Batch& batch() const { return facts.work.batch; }
};
// `more_tins`: tins that a step about to be logged names.
BatchView view_batch(Call& call, const std::string& code,
                     const std::vector<std::string>& more_tins = {});

// The dates of some pieces: of each date the latest of them; of the whole batch where none is
// named.
std::vector<engine::Date> dates_of(const BatchView& view, const std::vector<int>& pieces,
                                   Instant now);

// A date as the contract gives it in JSON: {"name","at","guessed",...}.
Json date_json(Call& call, const engine::Date& date);
// Nothing where it has no moment.
std::optional<Day> food_contact_day(Call& call, const std::vector<engine::Date>& dates,
                                    bool& guessed);
const engine::Date* find_date(const std::vector<engine::Date>& dates, std::string_view name);

}  // namespace trencher::commands
