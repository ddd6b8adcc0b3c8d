#include "commands/shop.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/kinds.h"
#include "book/queries.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

std::string stock_words(const std::string& stock) {
  return stock == "other" ? "something else received" : "a tin of " + stock;
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
  Call::check_known(code, "Batch", book::ids_of_class(call.book(), "batch"), from_batch);
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
    for (std::string& tin_id : book::ids_of_class(call.book(), stock))
      known.push_back(std::move(tin_id));
  Call::check_known(id,
                    stocks.size() > 1       ? "Tin"
                    : stocks[0] == "glue"   ? "Glue"
                    : stocks[0] == "finish" ? "Finish"
                                            : "Other",
                    known, from_receive);
  throw Error::request(fmt::format("Tin '{}' is not known.", id));
}

Place need_place(Call& call, std::string typed, const std::string& question) {
  const std::vector<Place> places = book::places(call.book());
  if (typed.empty() && places.size() == 1) return places.front();
  std::vector<std::string> known;
  for (const Place& place : places) known.push_back(place.id);
  call.need(typed, "--place", {question, known});
  for (const Place& place : places)
    if (place.id == typed || lower_ascii(place.name) == lower_ascii(typed)) return place;
  Call::check_known(typed, "Place", known,
                    {"'trencher place add' makes one", "'trencher place' lists them"});
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

std::string code_of(const Pieces& named) {
  return named.whole_batch ? named.batch
                           : book::piece_codes(named.batch, {named.numbers.front()}).front();
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
        throw Error::request(fmt::format(
            "Entry {} ({}) of piece {} is of {}, after this; give --at, or correct that entry.",
            *piece.turn, turn->entry.kind, piece.code, show(turn->happened)));
    out.push_back(piece);
  }
  if (out.empty())
    throw Error::request(
        fmt::format("Every piece of {} has left already or is scrapped.", named.batch));
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
