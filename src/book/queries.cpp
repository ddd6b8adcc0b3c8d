#include "book/queries.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "book/kinds.h"
#include "book/sql.h"
#include "book/state.h"
#include "domain/code.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

// Effective entries by a condition on mention; `?1` is the id.
template <typename Use>
void each_mention(const Book& book, std::string_view id, std::string_view condition, Use use) {
  book.sql().each(
      fmt::format("SELECT entry FROM mention WHERE id = ? AND {} ORDER BY entry", condition),
      [&](const Row& row) { use(*effective_entry(book, row.number(0))); }, std::string(id));
}

// The values of one kind of entry about `id`.
template <typename Value>
std::vector<Value> of_kind(const Book& book, std::string_view id, std::string_view kind) {
  std::vector<Value> out;
  each_mention(book, id, fmt::format("kind = '{}' AND struck = 0", kind), [&](const Effective& e) {
    Value value = Value::read(e.body);
    value.entry = e.entry.number;
    value.at = e.happened;
    out.push_back(std::move(value));
  });
  return out;
}

std::optional<Effective> thing(const Book& book, std::string_view id, std::string_view class_name) {
  const auto number = book.sql().number("SELECT entry FROM thing WHERE id = ? AND class = ?",
                                        std::string(id), std::string(class_name));
  return number ? effective_entry(book, *number) : std::nullopt;
}

template <typename Value>
std::optional<Value> value_of(const std::optional<Effective>& effective) {
  if (!effective) return {};
  Value value = Value::read(effective->body);
  if constexpr (requires { value.at; }) {
    value.entry = effective->entry.number;
    value.at = effective->happened;
  }
  return value;
}

template <typename Use>
void each_thing(const Book& book, std::string_view class_name, Use use) {
  for (const std::string& id : ids_of_class(book, class_name)) use(*thing(book, id, class_name));
}

PieceState read_piece(const Row& row) {
  return {row.text(0), row.text(1), static_cast<int>(row.number(2)), row.maybe_number(3),
          row.maybe_number(4)};
}

constexpr const char* piece_columns = "code, batch, number, signed_off, given";

}  // namespace

std::optional<Effective> effective_entry(const Book& book, std::int64_t number) {
  auto entry = book.entry(number);
  if (!entry) return {};
  Effective out{std::move(*entry), {}, {}, {}, {}};
  book.sql().each(
      "SELECT corrected_by, struck_by FROM amended WHERE entry = ?",
      [&](const Row& row) {
        out.corrected_by = row.maybe_number(0);
        out.struck_by = row.maybe_number(1);
      },
      number);
  out.happened = out.entry.happened;
  if (!out.corrected_by) {
    out.body = parse_body(out.entry.body);
    return out;
  }
  const Json correction = parse_body(book.entry(*out.corrected_by)->body);
  out.body = correction.at("body");
  if (const auto at = correction.maybe_text("happened_at"))
    out.happened = {instant_from_iso(*at), static_cast<int>(correction.integer("happened_offset"))};
  return out;
}

std::int64_t workshop_entry(const Book& book) {
  const auto number = book.sql().number("SELECT entry FROM thing WHERE id = ?", workshop_id);
  if (!number)
    throw Error::book(
        fmt::format("The book {} is damaged: it does not say whose it is.", book.path().string()));
  return *number;
}

Workshop workshop(const Book& book) {
  return Workshop::read(effective_entry(book, workshop_entry(book))->body);
}

std::vector<Worker> workers(const Book& book) {
  std::vector<Worker> out;
  each_thing(book, "worker", [&](const Effective& e) { out.push_back(Worker::read(e.body)); });
  return out;
}

std::vector<Place> places(const Book& book) {
  std::vector<Place> out;
  each_thing(book, "place", [&](const Effective& e) { out.push_back(Place::read(e.body)); });
  return out;
}

std::optional<Place> find_place(const Book& book, std::string_view id) {
  return value_of<Place>(thing(book, place_id(id), "place"));
}

std::vector<Species> own_species(const Book& book) {
  std::vector<Species> out;
  each_thing(book, "species",
             [&](const Effective& e) { out.push_back(species_from_json(e.body)); });
  return out;
}

std::optional<Species> find_own_species(const Book& book, std::string_view id) {
  const auto found = thing(book, species_id(id), "species");
  return found ? std::optional(species_from_json(found->body)) : std::nullopt;
}

std::optional<Product> find_product(const Book& book, std::string_view id) {
  return value_of<Product>(thing(book, id, "product"));
}

std::optional<WoodLot> find_wood(const Book& book, std::string_view id) {
  return value_of<WoodLot>(thing(book, id, "wood"));
}

std::optional<Tin> find_tin(const Book& book, std::string_view id) {
  const std::string class_name = class_of(book, id);
  if (class_name != "glue" && class_name != "finish") return {};
  return value_of<Tin>(thing(book, id, class_name));
}

std::optional<Batch> find_batch(const Book& book, std::string_view code) {
  return value_of<Batch>(thing(book, code, "batch"));
}

std::vector<std::string> ids_of_class(const Book& book, std::string_view class_name) {
  std::vector<std::string> out;
  book.sql().each(
      "SELECT id FROM thing WHERE class = ? ORDER BY entry, id",
      [&](const Row& row) { out.push_back(row.text(0)); }, std::string(class_name));
  return out;
}

std::string class_of(const Book& book, std::string_view id) {
  return book.sql().text("SELECT class FROM thing WHERE id = ?", std::string(id)).value_or("");
}

std::vector<std::string> open_batches(const Book& book) {
  std::vector<std::string> out;
  book.sql().each("SELECT batch FROM open_batch ORDER BY batch",
                  [&](const Row& row) { out.push_back(row.text(0)); });
  return out;
}

std::vector<Step> steps_of(const Book& book, std::string_view batch) {
  std::vector<Step> out;
  each_mention(book, batch, "struck = 0", [&](const Effective& e) {
    if (!is_step(e.entry.kind)) return;
    Step step = Step::read(e.entry.kind, e.body);
    step.entry = e.entry.number;
    step.at = e.happened;
    out.push_back(std::move(step));
  });
  std::stable_sort(out.begin(), out.end(),
                   [](const Step& a, const Step& b) { return a.at.at < b.at.at; });
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

std::vector<std::int64_t> open_rags(const Book& book, std::string_view batch) {
  std::vector<std::int64_t> out;
  for (const auto& [entry, of] : all_open_rags(book))
    if (of == batch) out.push_back(entry);
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
  std::vector<PieceState> out;
  book.sql().each(
      fmt::format("SELECT {} FROM piece WHERE batch = ? ORDER BY number", piece_columns),
      [&](const Row& row) { out.push_back(read_piece(row)); }, std::string(batch));
  return out;
}

std::vector<Reading> readings_at(const Book& book, std::string_view place, Instant from,
                                 Instant to) {
  const std::string id(place);
  const std::int64_t first = from.time_since_epoch().count(), last = to.time_since_epoch().count();
  std::vector<Reading> out;
  // Those that overlap the window, and those with the last reading before it and the first after.
  book.sql().each(
      "SELECT entry FROM readings_span WHERE place = ?1 AND first_s <= ?3 AND last_s >= ?2 "
      "UNION SELECT entry FROM readings_span WHERE place = ?1 AND last_s = "
      "  (SELECT max(last_s) FROM readings_span WHERE place = ?1 AND last_s < ?2) "
      "UNION SELECT entry FROM readings_span WHERE place = ?1 AND first_s = "
      "  (SELECT min(first_s) FROM readings_span WHERE place = ?1 AND first_s > ?3) ORDER BY entry",
      [&](const Row& row) {
        const auto effective = effective_entry(book, row.number(0));
        const Readings readings = Readings::read(effective->entry.number, effective->body);
        out.insert(out.end(), readings.samples.begin(), readings.samples.end());
      },
      id, first, last);
  each_mention(book, place_id(place), "struck = 0", [&](const Effective& e) {
    if (!is_step(e.entry.kind)) return;
    const Step step = Step::read(e.entry.kind, e.body);
    if (step.temp) out.push_back({e.entry.number, e.happened.at, *step.temp, step.rh});
  });
  std::stable_sort(out.begin(), out.end(), [](const Reading& a, const Reading& b) {
    return a.at != b.at ? a.at < b.at : a.entry < b.entry;
  });
  // Of several for one moment the last entered counts.
  const auto end = std::unique(out.rbegin(), out.rend(),
                               [](const Reading& a, const Reading& b) { return a.at == b.at; });
  out.erase(out.begin(), end.base());
  const auto earlier = [](const Reading& a, const Reading& b) { return a.at < b.at; };
  const auto past = std::lower_bound(out.begin(), out.end(), Reading{.at = to}, earlier);
  if (past != out.end()) out.erase(past + 1, out.end());
  const auto inside = std::upper_bound(out.begin(), out.end(), Reading{.at = from}, earlier);
  if (inside != out.begin()) out.erase(out.begin(), inside - 1);
  return out;
}

DrawnSum drawn_from(const Book& book, std::string_view tin) {
  DrawnSum out;
  each_mention(book, tin, "struck = 0", [&](const Effective& e) {
    if (!is_step(e.entry.kind)) return;
    for (const Drawn& part : Step::read(e.entry.kind, e.body).drawn)
      if (part.tin == tin && part.amount)
        (part.amount->measure == Amount::Measure::volume ? out.ul : out.mg) += part.amount->value;
  });
  return out;
}

std::vector<Effective> history_of(const Book& book, std::string_view id) {
  std::vector<Effective> out;
  each_mention(book, id, "1", [&](Effective e) { out.push_back(std::move(e)); });
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
  std::vector<std::string> out;
  const Touched touched = touched_by(book.sql(), "main", number, body);
  book.sql().each(
      touched.with +
          " SELECT touched.id FROM touched JOIN thing ON thing.id = touched.id"
          " WHERE thing.class = 'batch' ORDER BY touched.id",
      [&](const Row& row) { out.push_back(row.text(0)); }, touched.from);
  return out;
}

std::vector<std::string> batches_at(const Book& book, std::string_view place) {
  std::vector<std::string> out;
  book.sql().each(
      "SELECT DISTINCT other.id FROM mention AS here JOIN mention AS other ON other.entry = "
      "here.entry "
      "JOIN thing ON thing.id = other.id AND thing.class = 'batch' "
      "WHERE here.id = ? AND here.struck = 0 AND here.kind IN ('batch', 'move') AND EXISTS "
      "(SELECT 1 FROM piece WHERE piece.batch = other.id AND (signed_off OR given)) ORDER BY "
      "other.id",
      [&](const Row& row) { out.push_back(row.text(0)); }, place_id(place));
  return out;
}

std::int64_t next_number(const Book& book, std::string_view prefix) {
  return 1 + book.sql()
                 .number("SELECT last FROM counter WHERE prefix = ?", std::string(prefix))
                 .value_or(0);
}

std::vector<Vanishing> would_vanish(const Book& book, std::int64_t number, const Json* body) {
  std::int64_t target = number;
  auto now = effective_entry(book, target);
  while (now && is_amendment(now->entry.kind)) {
    target = now->body.integer("entry");
    now = effective_entry(book, target);
  }
  if (!now) return {};
  const auto says = [&](const Json& of) {
    Facts facts = facts_of(now->entry.kind, now->entry.kind_version, of);
    if (now->entry.kind == "batch") {
      const Batch batch = Batch::read(of);
      std::vector<int> numbers(static_cast<std::size_t>(batch.pieces));
      std::iota(numbers.begin(), numbers.end(), 1);
      for (const std::string& code : piece_codes(batch.code, numbers))
        facts.made.push_back({code, "piece"});
    }
    return facts;
  };
  std::optional<Facts> after;  // nothing: struck
  if (body) {
    after = says(*body);
  } else if (const Amended left = amendments(book.sql(), number)[target]; !left.struck_by) {
    const Entry entry = *book.entry(left.corrected_by.value_or(target));
    const Json of = parse_body(entry.body);
    after = says(left.corrected_by ? of.at("body") : of);
  }
  const auto makes = [](const Facts& facts, const std::string& id) {
    return std::any_of(facts.made.begin(), facts.made.end(),
                       [&](const Made& made) { return made.id == id; });
  };
  const auto made_after = [&](const std::string& id) { return after && makes(*after, id); };
  std::vector<Vanishing> out;
  if (!now->struck_by)
    for (const auto& [id, class_name] : says(now->body).made) {
      // Stated anew by another entry (settings, a place), it stays.
      const std::string others =
          "FROM mention WHERE id = ? AND struck = 0 AND entry <> ? AND kind ";
      if (made_after(id) ||
          book.sql().number("SELECT 1 " + others + "= ?", id, target, now->entry.kind))
        continue;
      auto needed_by = book.sql().number(
          "SELECT min(entry) " + others + "NOT IN ('correction', 'strike')", id, target);
      if (!needed_by && class_name == "worker")
        needed_by =
            book.sql().number("SELECT min(number) FROM entry WHERE written_by = ? AND number <> ?",
                              now->body.integer("worker"), target);
      if (needed_by || id == workshop_id) out.push_back({id, needed_by.value_or(target)});
    }
  // What comes back, or is put in its place, may speak of what has itself been struck.
  const auto gone = [&](const std::string& id) {
    if (made_after(id) || find_piece(book, id) || !class_of(book, id).empty()) return false;
    bool made_once = parse_piece_code(id).code.has_value();
    each_mention(book, id, "struck = 1", [&](const Effective& e) {
      made_once |= makes(facts_of(e.entry.kind, e.entry.kind_version, e.body), id);
    });
    return made_once;
  };
  if (after)
    for (const std::string& id : after->mentions)
      if (gone(id)) out.push_back({id, target});
  return out;
}

}  // namespace trencher::book
