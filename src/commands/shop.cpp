#include "commands/shop.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "book/queries.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

std::vector<std::string> join_lists(std::vector<std::string> a, const std::vector<std::string>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

// Where the batch was from when on, with the readings of each place.
engine::Conditions conditions_of(Call& call, const Batch& batch, const std::vector<Step>& steps) {
  Instant first = batch.at.at;
  for (const Step& step : steps) first = std::min(first, step.at.at);
  std::vector<std::pair<Instant, std::string>> moves{{first, batch.place}};
  for (const Step& step : steps)
    if (step.kind == "move") moves.emplace_back(step.at.at, step.place);
  std::vector<engine::Stay> stays;
  for (std::size_t i = 0; i < moves.size(); ++i) {
    engine::Stay stay{moves[i].first, {}, {}};
    const auto place = book::find_place(call.book(), moves[i].second);
    if (place) stay.place = *place;
    const Instant until = i + 1 < moves.size() ? moves[i + 1].first : call.now() + Seconds(86400);
    stay.readings =
        book::readings_at(call.book(), moves[i].second, stay.from, std::max(stay.from, until));
    stays.push_back(std::move(stay));
  }
  // The conditions may outlive no more than the call, which holds the zone.
  return {std::move(stays), [&zone = call.zone()](Instant at) { return zone.moment(at); },
          call.units()};
}

}  // namespace

std::optional<Species> find_species(const book::Book& book, std::string_view id) {
  if (const Species* shipped = reference::find_species(id)) return *shipped;
  return book::find_own_species(book, id);
}

std::string allergen_name(const std::string& id) {
  const Allergen* allergen = reference::find_allergen(id);
  return allergen ? allergen->name.substr(0, allergen->name.find(" (")) : id;
}

Batch need_batch(Call& call, const std::string& code) {
  if (auto batch = book::find_batch(call.book(), code)) return std::move(*batch);
  Call::check_known(code, "Batch", book::ids_of_class(call.book(), "batch"));
  throw Error::request(fmt::format("Batch '{}' is not known.", code));
}

Tin need_tin(Call& call, const std::string& id, const std::string& stock) {
  const auto tin = book::find_tin(call.book(), id);
  if (tin && tin->stock == stock) return *tin;
  if (tin)
    throw Error::request(
        fmt::format("{} is a tin of {}; a tin of {} is needed here.", id, tin->stock, stock));
  Call::check_known(id, stock == "glue" ? "Glue" : "Finish",
                    book::ids_of_class(call.book(), stock));
  throw Error::request(fmt::format("Tin '{}' is not known.", id));
}

Place need_place(Call& call, std::string typed, const std::string& question) {
  const std::vector<Place> places = book::places(call.book());
  if (typed.empty() && places.size() == 1) return places.front();
  std::vector<std::string> known;
  for (const Place& place : places) known.push_back(place.id);
  call.need(typed, "--place", question, known);
  for (const Place& place : places)
    if (place.id == typed || lower_ascii(place.name) == lower_ascii(typed)) return place;
  Call::check_known(typed, "Place", known);
  return {};
}

Pieces need_pieces(Call& call, const std::string& code) {
  const PieceReading reading = parse_piece_code(code);
  if (reading.code) {
    const std::string text = reading.code->text();
    const auto piece = book::find_piece(call.book(), text);
    if (!piece)
      throw Error::request(
          fmt::format("There is no piece {} in this book, though its check digits fit; it may be "
                      "of another book.",
                      text));
    return {piece->batch, {piece->number}, false};
  }
  if (reading.right_form) {
    std::vector<std::string> near;
    for (std::string& candidate : codes_one_slip_away(code))
      if (book::find_piece(call.book(), candidate)) near.push_back(std::move(candidate));
    throw Error::request(fmt::format(
        "'{}' is mistyped: its check digits do not fit.{}", code,
        near.empty() ? " No piece in this book is one slip away."
                     : fmt::format(" One slip away {} {}.", near.size() == 1 ? "is" : "are",
                                   join_words(near, "and"))));
  }
  Pieces out{need_batch(call, code).code, {}, true};
  for (const book::PieceState& piece : book::pieces_of(call.book(), out.batch))
    out.numbers.push_back(piece.number);
  return out;
}

std::string place_at(const Batch& batch, const std::vector<Step>& steps, Instant at) {
  std::string place = batch.place;
  for (const Step& step : steps)
    if (step.kind == "move" && step.at.at <= at) place = step.place;
  return place;
}

BatchView view_batch(Call& call, const std::string& code,
                     const std::vector<std::string>& more_tins) {
  book::Book& book = call.book();
  engine::SuitabilityFacts facts;
  facts.work.batch = need_batch(call, code);
  facts.work.steps = book::steps_of(book, code);
  const Batch& batch = facts.work.batch;
  std::vector<std::string> ids = join_lists(join_lists(batch.glue, batch.finish), more_tins);
  for (const Step& step : facts.work.steps)
    for (const Drawn& part : step.drawn) ids.push_back(part.tin);
  std::set<std::string> subjects(batch.wood.begin(), batch.wood.end());
  for (const std::string& id : ids) {
    const auto tin = book::find_tin(book, id);
    if (!tin || facts.work.tins.contains(id)) continue;
    subjects.insert(id);
    if (!tin->product.empty()) subjects.insert(tin->product);
    if (const FinishKind* kind = reference::find_finish(tin->kind))
      facts.finish_kinds[tin->kind] = *kind;
    if (const GlueKind* kind = reference::find_glue(tin->kind)) facts.glue_kinds[tin->kind] = *kind;
    if (tin->amount) {
      const book::DrawnSum drawn = book::drawn_from(book, id);
      Amount left = *tin->amount;
      left.value -= left.measure == Amount::Measure::volume ? drawn.ul : drawn.mg;
      facts.left[id] = left;
    }
    facts.work.tins[id] = *tin;
  }
  for (const std::string& id : batch.wood)
    if (const auto lot = book::find_wood(book, id)) {
      facts.wood.push_back(*lot);
      if (const auto species = find_species(book, lot->species))
        facts.species[lot->species] = *species;
    }
  facts.statements = book::statements_on(book, {subjects.begin(), subjects.end()});
  facts.open_rags = book::open_rags(book, code);
  facts.units = call.units();
  engine::Conditions conditions = conditions_of(call, batch, facts.work.steps);
  return {std::move(facts), std::move(conditions)};
}

std::vector<engine::Date> dates_of(const BatchView& view, const std::vector<int>& pieces,
                                   Instant now) {
  engine::BatchWork work = view.facts.work;
  work.pieces = pieces;
  return engine::dates(work, 0, view.conditions, now);
}

const engine::Date* find_date(const std::vector<engine::Date>& dates, std::string_view name) {
  const auto found = std::find_if(dates.begin(), dates.end(),
                                  [&](const engine::Date& date) { return date.name == name; });
  return found == dates.end() ? nullptr : &*found;
}

Json date_json(Call& call, const engine::Date& date) {
  Json out = Json::object();
  out.set("name", date.name);
  out.set_or_null("at", date.at ? Json(iso(call.zone().moment(*date.at))) : Json());
  if (date.at && date.name == engine::food_contact)
    out.set("day", iso(call.zone().first_day_from(*date.at)));
  out.set("guessed", date.guessed);
  if (!date.why.empty()) out.set("why", Json::list(date.why));
  if (date.scuff_first) out.set("scuff_first", true);
  return out;
}

std::optional<Day> food_contact_day(Call& call, const std::vector<engine::Date>& dates,
                                    bool& guessed) {
  const engine::Date* date = find_date(dates, engine::food_contact);
  guessed = !date || date->guessed;
  if (!date || !date->at) return {};
  return call.zone().first_day_from(*date->at);
}

}  // namespace trencher::commands
