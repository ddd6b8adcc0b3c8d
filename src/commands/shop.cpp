#include "commands/shop.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>
#include <set>

#include "book/queries.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

std::string stock_words(const std::string& stock) {
  return stock == "other" ? "something else received" : "a tin of " + stock;
}

std::vector<std::string> join_lists(std::vector<std::string> a, const std::vector<std::string>& b) {
  a.insert(a.end(), b.begin(), b.end());
  return a;
}

using Itinerary = std::vector<std::pair<Instant, std::string>>;  // from when on, at which place

Itinerary itinerary_of(const engine::BatchWork& work, int piece) {
  Instant first = work.batch.at.at;
  for (const Step& step : work.steps) first = std::min(first, step.at.at);
  Itinerary out{{first, work.batch.place}};
  for (const Step& step : work.steps)
    if (step.kind == "move" && names_piece(step.pieces, piece))
      out.emplace_back(step.at.at, step.place);
  for (const Turn& turn : work.turns)
    if (!turn.place.empty() && names_piece(turn.pieces, piece))
      out.emplace_back(turn.at.at, turn.place);
  std::stable_sort(out.begin(), out.end(),
                   [](const auto& a, const auto& b) { return a.first < b.first; });
  return out;
}

// What is declared of a place from when on. What is declared first counts for the time before too.
std::vector<std::pair<Instant, Place>> declared_over_time(const book::Book& book,
                                                          const std::string& id) {
  std::vector<std::pair<Instant, Place>> out;
  for (const auto& [at, place] : book::place_statements(book, id)) {
    out.emplace_back(at.at, place);
    if (out.size() < 2) continue;
    // What is left out stays as it was.
    const Place& before = out[out.size() - 2].second;
    if (!place.temp) out.back().second.temp = before.temp;
    if (!place.rh) out.back().second.rh = before.rh;
  }
  for (std::size_t i = out.size(); i-- > 1;) {
    Place& before = out[i - 1].second;
    if (!before.temp) before.temp = out[i].second.temp;
    if (!before.rh) before.rh = out[i].second.rh;
  }
  return out;
}

void add_stays(Call& call, const std::string& place, Instant from, Instant until,
               std::vector<engine::Stay>& stays) {
  const std::vector<Reading> readings =
      book::readings_at(call.book(), place, from, std::max(from, until));
  const auto stated = declared_over_time(call.book(), place);
  if (stated.empty()) stays.push_back({from, {}, readings});
  for (std::size_t i = 0; i < stated.size(); ++i) {
    const bool over = i + 1 < stated.size() && stated[i + 1].first <= from;
    if (over || (i > 0 && stated[i].first >= until)) continue;
    stays.push_back({i == 0 ? from : std::max(from, stated[i].first), stated[i].second, readings});
  }
}

engine::Conditions conditions_on(Call& call, const Itinerary& itinerary, const WhatIf& what_if) {
  std::vector<engine::Stay> stays;
  for (std::size_t i = 0; i < itinerary.size(); ++i) {
    const bool last = i + 1 == itinerary.size();
    add_stays(call, itinerary[i].second, itinerary[i].first,
              last ? call.now() + Seconds(86400) : itinerary[i + 1].first, stays);
  }
  if (what_if.any()) stays.push_back(what_if.from(call.now(), stays.back()));
  // The conditions may outlive no more than the call, which holds the zone.
  return {std::move(stays), [&zone = call.zone()](Instant at) { return zone.moment(at); },
          call.units()};
}

// Where each piece was from when on, with the readings of each place. Those that were in the same
// places share their conditions; the batch as a whole has those of most.
engine::PieceConditions conditions_of(Call& call, const engine::BatchWork& work,
                                      const WhatIf& what_if) {
  const bool together =
      std::none_of(work.steps.begin(), work.steps.end(),
                   [](const Step& step) { return step.kind == "move" && !step.pieces.empty(); }) &&
      work.turns.empty();
  if (together) return conditions_on(call, itinerary_of(work, 0), what_if);
  std::map<Itinerary, std::vector<int>> groups;
  for (int piece = 1; piece <= work.batch.pieces; ++piece)
    groups[itinerary_of(work, piece)].push_back(piece);
  const auto most = std::max_element(
      groups.begin(), groups.end(),
      [](const auto& a, const auto& b) { return a.second.size() < b.second.size(); });
  engine::PieceConditions out(conditions_on(call, most->first, what_if));
  for (const auto& [itinerary, pieces] : groups)
    if (itinerary != most->first) out.set(pieces, conditions_on(call, itinerary, what_if));
  return out;
}

enum class Depth { record, amounts };  // as record_of_batch(), or with what it leaves out

// Loads a tin, and what it was mixed from, with what is known of their kinds.
void load_tin(Call& call, const std::string& id, Depth depth, engine::SuitabilityFacts& facts,
              std::set<std::string>& subjects, KnownTins& known) {
  if (facts.work.tins.contains(id)) return;
  const bool amounts = depth == Depth::amounts;
  const auto [found, is_new] = known.by_id.try_emplace(id);
  auto& [tin, left] = found->second;
  if (is_new)
    tin = amounts ? book::find_tin(call.book(), id) : book::find_tin_unopened(call.book(), id);
  if (is_new && tin && amounts) left = amount_left(call, *tin);
  if (!tin) return;
  facts.work.tins[id] = *tin;
  subjects.insert(id);
  if (!tin->product.empty()) subjects.insert(tin->product);
  if (const FinishKind* kind = reference::find_finish(tin->kind))
    facts.finish_kinds[tin->kind] = *kind;
  if (const GlueKind* kind = reference::find_glue(tin->kind)) facts.glue_kinds[tin->kind] = *kind;
  if (const OtherKind* kind = reference::find_other(tin->kind))
    facts.other_kinds[tin->kind] = *kind;
  if (left) facts.left[id] = *left;
  for (const Drawn& part : tin->mixed_from) load_tin(call, part.tin, depth, facts, subjects, known);
}

// A word that withdraws a tin withdraws every mix that holds it.
void load_withdrawals(Call& call, engine::SuitabilityFacts& facts) {
  for (const auto& [withdrawn, tin] : facts.work.tins) {
    const auto words = book::withdrawals_of(call.book(), withdrawn);
    if (words.empty()) continue;
    for (const auto& [id, other] : facts.work.tins)
      if (engine::holds(facts.work.tins, id, withdrawn))
        facts.withdrawn.try_emplace(id, words.front());
  }
  for (const std::string& lot : facts.work.batch.wood)
    if (const auto words = book::withdrawals_of(call.book(), lot); !words.empty())
      facts.withdrawn.try_emplace(lot, words.front());
}

// Whether entries that are lost may bear on the batch: those that were written after the first of
// what it rests on. The shop's settings are among that.
engine::Losses losses_of(Call& call, const engine::SuitabilityFacts& facts) {
  book::Book& book = call.book();
  engine::Losses out;
  const std::vector<Rescued> rescues = book::rescues_of(book);
  if (rescues.empty()) return out;
  const Batch& batch = facts.work.batch;
  std::int64_t first = std::min(batch.entry, book::workshop_entry(book));
  const auto rests_on = [&](const std::string& id, std::int64_t entry) {
    first = std::min(first, entry);
    if (book::is_lost_thing(book, id)) out.things.push_back(id);
  };
  rests_on(batch.code, batch.entry);
  for (const auto& [id, tin] : facts.work.tins) {
    rests_on(id, tin.entry);
    for (const Product& product : book::product_versions(book, tin.product))
      first = std::min(first, product.entry);
    if (book::is_lost_thing(book, tin.product)) rests_on(tin.product, 0);
  }
  for (const WoodLot& lot : facts.wood) rests_on(lot.id, lot.entry);
  for (const Rescued& rescue : rescues) {
    for (const Gap& gap : rescue.gaps)
      if (gap.last >= first) out.gaps.push_back(gap);
    out.open_end = out.open_end || (rescue.open_end && rescue.entry >= first);
  }
  return out;
}

BatchRecord record_with(Call& call, const std::string& code,
                        const std::vector<std::string>& more_tins, Depth depth, KnownTins& known) {
  book::Book& book = call.book();
  engine::SuitabilityFacts facts;
  facts.work.batch = need_batch(call, code);
  facts.work.steps = book::steps_of(book, code);
  facts.work.turns = book::turns_of(book, code);
  const Batch& batch = facts.work.batch;
  std::vector<std::string> ids = join_lists(join_lists(batch.glue, batch.finish), more_tins);
  for (const Turn& turn : facts.work.turns) ids = join_lists(std::move(ids), turn.finish);
  for (const Step& step : facts.work.steps)
    for (const Drawn& part : step.drawn) ids.push_back(part.tin);
  std::set<std::string> subjects(batch.wood.begin(), batch.wood.end());
  for (const std::string& id : ids) load_tin(call, id, depth, facts, subjects, known);
  engine::resolve_mixes(facts.work.tins);
  load_withdrawals(call, facts);
  for (const std::string& id : batch.wood)
    if (const auto lot = book::find_wood(book, id)) {
      facts.wood.push_back(*lot);
      if (const auto species = find_species(book, lot->species))
        facts.species[lot->species] = *species;
    }
  facts.statements = book::statements_on(book, {subjects.begin(), subjects.end()});
  facts.work.losses = losses_of(call, facts);
  facts.units = call.units();
  return {std::move(facts), book::scraps_of(book, code)};
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

Tin need_tin(Call& call, const std::string& id, const std::vector<std::string>& stocks) {
  const auto tin = book::find_tin(call.book(), id);
  const auto fits = [&](const std::string& stock) {
    return std::find(stocks.begin(), stocks.end(), stock) != stocks.end();
  };
  if (tin && fits(tin->stock)) return *tin;
  if (tin)
    throw Error::request(fmt::format("{} is {}; {} is needed here.", id, stock_words(tin->stock),
                                     stock_words(join_words(stocks, "or"))));
  std::vector<std::string> known;
  for (const std::string& stock : stocks)
    known = join_lists(std::move(known), book::ids_of_class(call.book(), stock));
  Call::check_known(id,
                    stocks.size() > 1       ? "Tin"
                    : stocks[0] == "glue"   ? "Glue"
                    : stocks[0] == "finish" ? "Finish"
                                            : "Other",
                    known);
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

std::vector<int> chosen_pieces(Call& call, const Pieces& named, const std::string& typed) {
  if (typed.empty()) return named.numbers;
  if (!named.whole_batch)
    throw Error::request("--pieces goes with the code of a batch, not with that of a piece.");
  return parse_piece_numbers(typed,
                             static_cast<int>(book::pieces_of(call.book(), named.batch).size()));
}

std::vector<book::PieceState> need_pieces_here(Call& call, const Pieces& named,
                                               const std::string& typed, Instant at,
                                               const std::string& done) {
  const auto all = book::pieces_of(call.book(), named.batch);
  const std::vector<int> numbers = chosen_pieces(call, named, typed);
  std::vector<book::PieceState> out;
  for (const int number : numbers) {
    const book::PieceState& piece = all[static_cast<std::size_t>(number - 1)];
    if (!piece.here() && named.whole_batch && typed.empty()) continue;
    if (piece.given)
      throw Error::request(fmt::format("Piece {} has left already (entry {}); it cannot be {}.",
                                       piece.code, *piece.given, done));
    if (piece.scrapped)
      throw Error::request(fmt::format("Piece {} is scrapped (entry {}); it cannot be {}.",
                                       piece.code, *piece.scrapped, done));
    if (piece.turn)
      if (const auto turn = book::effective_entry(call.book(), *piece.turn); turn->happened.at > at)
        throw Error::request(fmt::format("Entry {} ({}) of piece {} is of {}, after this.",
                                         *piece.turn, turn->entry.kind, piece.code,
                                         show(turn->happened)));
    out.push_back(piece);
  }
  if (out.empty())
    throw Error::request(
        fmt::format("All pieces of {} have left already or are scrapped.", named.batch));
  return out;
}

engine::SuitabilityFacts facts_about(const BatchView& view, const std::vector<int>& pieces) {
  engine::SuitabilityFacts out = view.facts;
  const auto others_only = [&](const auto& of) {
    return std::none_of(pieces.begin(), pieces.end(),
                        [&](int piece) { return names_piece(of.pieces, piece); });
  };
  std::erase_if(out.work.steps, others_only);
  std::erase_if(out.work.turns, others_only);
  out.work.pieces = pieces;
  return out;
}

void demand_not_withdrawn(Call& call, const std::string& id) {
  for (const Withdrawal& word : book::withdrawals_of(call.book(), id))
    throw Error::request(fmt::format("{} is withdrawn (entry {}): {}. No reason overrides that.",
                                     id, word.entry, word.why));
}

std::optional<OnPiece> withdrawn_on(const BatchView& view, const std::vector<int>& pieces) {
  const auto& withdrawn = view.facts.withdrawn;
  for (const std::string& lot : view.batch().wood)
    if (const auto found = withdrawn.find(lot); found != withdrawn.end())
      return OnPiece{0, lot, found->second};
  for (const Step& step : view.facts.work.steps)
    for (const int piece : pieces)
      if (names_piece(step.pieces, piece))
        for (const Drawn& part : step.drawn)
          if (const auto found = withdrawn.find(part.tin); found != withdrawn.end())
            return OnPiece{piece, part.tin, found->second};
  return {};
}

void demand_not_withdrawn(const BatchView& view, const std::vector<int>& pieces) {
  const auto found = withdrawn_on(view, pieces);
  if (!found) return;
  const std::string& code = view.batch().code;
  throw Error::request(fmt::format(
      "{}, which is withdrawn (entry {}): {}. No reason overrides that.",
      found->piece ? fmt::format("Piece {} of {} holds {}", found->piece, code, found->id)
                   : fmt::format("{} is made of {}", code, found->id),
      found->word.entry, found->word.why));
}

std::string place_at(const engine::BatchWork& work, int piece, Instant at) {
  std::string place = work.batch.place;
  for (const auto& [from, where] : itinerary_of(work, piece))
    if (from <= at) place = where;
  return place;
}

std::optional<Amount> amount_left(Call& call, const Tin& tin) {
  if (!tin.amount) return {};
  const book::DrawnSum drawn = book::drawn_from(call.book(), tin.id);
  Amount left = *tin.amount;
  left.value -= left.measure == Amount::Measure::volume ? drawn.ul : drawn.mg;
  return left;
}

engine::Tins load_mix(Call& call, const std::string& id) {
  engine::SuitabilityFacts facts;
  std::set<std::string> subjects;
  KnownTins known;
  load_tin(call, id, Depth::amounts, facts, subjects, known);
  engine::resolve_mixes(facts.work.tins);
  return std::move(facts.work.tins);
}

engine::Conditions conditions_at(Call& call, const std::string& place, const WhatIf& what_if) {
  return conditions_on(call, {{call.now(), place}}, what_if);
}

BatchRecord record_of_batch(Call& call, const std::string& code) {
  KnownTins known;
  return record_with(call, code, {}, Depth::record, known);
}

namespace {

BatchView view_of(Call& call, const std::string& code, const std::vector<std::string>& more_tins,
                  const WhatIf& what_if, KnownTins& known) {
  BatchRecord record = record_with(call, code, more_tins, Depth::amounts, known);
  engine::SuitabilityFacts& facts = record.facts;
  facts.open_rags = book::open_rags(call.book(), code);
  if (!record.scraps.empty())  // findings are about what is left
    for (const book::PieceState& piece : book::pieces_of(call.book(), code))
      if (!piece.scrapped) facts.work.pieces.push_back(piece.number);
  engine::PieceConditions conditions = conditions_of(call, facts.work, what_if);
  return {std::move(record), std::move(conditions), book::gifts_of(call.book(), code)};
}

}  // namespace

BatchView view_batch(Call& call, const std::string& code, const std::vector<std::string>& more_tins,
                     const WhatIf& what_if) {
  KnownTins known;
  return view_of(call, code, more_tins, what_if, known);
}

BatchView view_batch(Call& call, const std::string& code, KnownTins& known) {
  return view_of(call, code, {}, {}, known);
}

Standing standing_at(const BatchView& view, int piece, Instant at) {
  struct Event {
    Instant at;
    std::int64_t entry;
    std::function<void(Standing&)> does;
  };
  std::vector<Event> events;
  const auto add = [&](const auto& of, auto does) {
    if (of.at.at <= at && names_piece(of.pieces, piece))
      events.push_back({of.at.at, of.entry, does});
  };
  for (const Gift& gift : view.gifts)
    add(gift, [entry = gift.entry](Standing& s) { s.given = entry; });
  for (const Scrap& scrap : view.scraps)
    add(scrap, [entry = scrap.entry](Standing& s) { s.scrapped = entry; });
  for (const Turn& turn : view.facts.work.turns)
    add(turn, [&turn](Standing& s) {
      if (turn.kind == Turn::Kind::take_back) s.given.reset();
      if (turn.schedule || !turn.unused) s.way = turn.entry;
    });
  std::sort(events.begin(), events.end(), [](const Event& a, const Event& b) {
    return std::pair(a.at, a.entry) < std::pair(b.at, b.entry);
  });
  Standing out;
  for (const Event& event : events) event.does(out);
  return out;
}

std::vector<Way> ways_of(const BatchView& view, const std::vector<int>& pieces, Instant now) {
  std::map<std::int64_t, Way> ways;
  for (int piece = 1; piece <= view.batch().pieces; ++piece) {
    if (!names_piece(pieces, piece)) continue;
    const Standing standing = standing_at(view, piece, now);
    if (standing.scrapped) continue;
    Way& way = ways[standing.way];
    way.turn = standing.way;
    way.pieces.push_back(piece);
  }
  std::vector<Way> out;
  for (auto& [turn, way] : ways) out.push_back(std::move(way));
  return out;
}

std::vector<engine::Date> dates_of(const BatchView& view, const std::vector<int>& pieces,
                                   Instant now) {
  engine::BatchWork work = view.facts.work;
  work.pieces = pieces;
  if (pieces.empty())
    if (const std::vector<Way> ways = ways_of(view, {}, now); !ways.empty())
      work.pieces = ways.front().pieces;
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
