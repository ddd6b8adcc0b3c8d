#include "book/queries.h"

#include <fmt/format.h>

#include <algorithm>
#include <numeric>

#include "book/amended.h"
#include "book/kinds.h"
#include "book/lost.h"
#include "book/mentions.h"
#include "book/state.h"
#include "domain/code.h"
#include "domain/error.h"

namespace trencher::book {
namespace {

std::optional<Effective> thing(const Book& book, std::string_view id,
                               std::initializer_list<std::string_view> classes) {
  static const std::string statement = fmt::format(
      "SELECT {}, corrected_by, struck_by, class"
      " FROM thing CROSS JOIN entry ON number = thing.entry"
      " LEFT JOIN amended ON amended.entry = thing.entry WHERE id = ?",
      entry_columns);
  std::optional<Effective> out;
  book.sql().each(
      statement,
      [&](const Row& row) {
        if (std::find(classes.begin(), classes.end(), row.text(11)) != classes.end())
          out = effective_of(book, row);
      },
      std::string(id));
  return out;
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

template <typename Value>
std::optional<Value> or_lost(std::optional<Value> value,
                             std::optional<Value> (*lost)(const Book&, std::string_view),
                             const Book& book, std::string_view id) {
  return value ? std::move(value) : lost(book, id);
}

// What the tin's version of its product says lies under what the tin itself says.
void lay_under(const Book& book, Tin& tin) {
  if (tin.product.empty()) return;
  for (const Product& product : product_versions(book, tin.product)) {
    if (product.version != tin.product_version) continue;
    tin.label = overlay(tin.label, product.label);
    tin.kind = product.kind;
    tin.contains = product.contains;
    tin.animal_origin = product.animal_origin;
  }
}

// The entry of a tin that goes by this version of the label.
std::optional<std::int64_t> tin_of_version(const Book& book, const Product& product) {
  for (const Tin& tin : of_kind<Tin>(book, product.id, "tin"))
    if (tin.product_version == product.version) return tin.entry;
  return {};
}

// Returns the ids of those whose entries are lost.
template <typename Use>
std::vector<std::string> each_thing(const Book& book, std::string_view class_name, Use use) {
  std::vector<std::string> lost;
  for (std::string& id : ids_of_class(book, class_name))
    if (const auto made = thing(book, id, {class_name}))
      use(*made);
    else
      lost.push_back(std::move(id));
  return lost;
}

}  // namespace

Effective effective_of(const Book& book, const Row& row) {
  Effective out{read_entry(row), {}, {}, row.maybe_number(9), row.maybe_number(10)};
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

namespace {

std::string effective_entries(std::string_view rest) {
  return fmt::format(
      "SELECT {}, corrected_by, struck_by FROM entry LEFT JOIN amended ON amended.entry = number "
      "{}",
      entry_columns, rest);
}

}  // namespace

std::optional<Effective> effective_entry(const Book& book, std::int64_t number) {
  static const std::string statement = effective_entries("WHERE number = ?");
  std::optional<Effective> out;
  book.sql().each(
      statement, [&](const Row& row) { out = effective_of(book, row); }, number);
  return out;
}

void each_effective(const Book& book, const std::function<void(const Effective&)>& use) {
  book.sql().each(effective_entries("ORDER BY number"),
                  [&](const Row& row) { use(effective_of(book, row)); });
}

bool is_amended(const Book& book, std::int64_t number) {
  return book.sql().number("SELECT entry FROM amended WHERE entry = ?", number).has_value();
}

std::optional<Moment> happened_at(const Book& book, std::int64_t number) {
  std::optional<Moment> out;
  bool corrected = false;
  book.sql().each(
      "SELECT happened_at, happened_offset, corrected_by FROM entry"
      " LEFT JOIN amended ON amended.entry = number WHERE number = ?",
      [&](const Row& row) {
        corrected = !row.empty(2);
        out = Moment{instant_from_iso(row.text(0)), static_cast<int>(row.number(1))};
      },
      number);
  return corrected ? effective_entry(book, number)->happened : out;
}

std::vector<Rescued> rescues_of(const Book& book) {
  std::vector<Rescued> out;
  book.sql().each("SELECT entry FROM thing WHERE id > 'rescue:' AND id < 'rescue;' ORDER BY entry",
                  [&](const Row& row) {
                    const Entry entry = book.entry(row.number(0)).value();
                    out.push_back(Rescued::read(parse_body(entry.body)));
                    out.back().entry = entry.number;
                    out.back().at = entry.happened;
                  });
  return out;
}

bool is_lost_thing(const Book& book, std::string_view id) {
  const auto entry = book.sql().number("SELECT entry FROM thing WHERE id = ?", std::string(id));
  return entry && !book.entry(*entry);
}

std::int64_t workshop_entry(const Book& book) {
  const auto number = book.sql().number("SELECT entry FROM thing WHERE id = ?", workshop_id);
  if (!number)
    throw Error::book(
        fmt::format("The book {} is damaged: it does not say whose it is.", book.path().string()));
  return *number;
}

Workshop workshop(const Book& book) {
  const auto stated = effective_entry(book, workshop_entry(book));
  return stated ? Workshop::read(stated->body) : lost_workshop();
}

std::vector<WorkshopStatement> workshop_statements(const Book& book) {
  std::vector<WorkshopStatement> out;
  each_mention(book, workshop_id, "kind = 'workshop' AND struck = 0", [&](const Effective& e) {
    out.push_back({e.entry.number, e.happened, Workshop::read(e.body)});
  });
  std::stable_sort(out.begin(), out.end(),
                   [](const auto& a, const auto& b) { return a.at.at < b.at.at; });
  return out;
}

std::vector<Worker> workers(const Book& book) {
  std::vector<Worker> out;
  for (const std::string& id :
       each_thing(book, "worker", [&](const Effective& e) { out.push_back(Worker::read(e.body)); }))
    if (auto lost = lost_worker(book, id)) out.push_back(std::move(*lost));
  return out;
}

std::vector<Place> places(const Book& book) {
  std::vector<Place> out;
  for (const std::string& id :
       each_thing(book, "place", [&](const Effective& e) { out.push_back(Place::read(e.body)); }))
    if (auto lost = lost_place(book, id.substr(place_id("").size())))
      out.push_back(std::move(*lost));
  return out;
}

std::optional<Place> find_place(const Book& book, std::string_view id) {
  return or_lost(value_of<Place>(thing(book, place_id(id), {"place"})), lost_place, book, id);
}

std::vector<std::pair<Moment, Place>> place_statements(const Book& book, std::string_view id) {
  std::vector<std::pair<Moment, Place>> out;
  each_mention(book, place_id(id), "kind = 'place' AND struck = 0",
               [&](const Effective& e) { out.emplace_back(e.happened, Place::read(e.body)); });
  std::stable_sort(out.begin(), out.end(),
                   [](const auto& a, const auto& b) { return a.first.at < b.first.at; });
  return out;
}

std::vector<Species> own_species(const Book& book) {
  std::vector<Species> out;
  each_thing(book, "species",
             [&](const Effective& e) { out.push_back(species_from_json(e.body)); });
  return out;
}

std::optional<Species> find_own_species(const Book& book, std::string_view id) {
  const auto found = thing(book, species_id(id), {"species"});
  return found ? std::optional(species_from_json(found->body)) : std::nullopt;
}

std::optional<Product> find_product(const Book& book, std::string_view id) {
  return or_lost(value_of<Product>(thing(book, id, {"product"})), lost_product, book, id);
}

std::optional<WoodLot> find_wood(const Book& book, std::string_view id) {
  return or_lost(value_of<WoodLot>(thing(book, id, {"wood"})), lost_wood, book, id);
}

std::vector<Product> product_versions(const Book& book, std::string_view id) {
  std::vector<Product> out = of_kind<Product>(book, id, "product");
  std::stable_sort(out.begin(), out.end(),
                   [](const Product& a, const Product& b) { return a.version < b.version; });
  return out;
}

std::optional<Tin> find_tin(const Book& book, std::string_view id) {
  std::optional<Tin> tin = find_tin_unopened(book, id);
  if (tin) tin->opened = drawn_from(book, id).first;
  return tin;
}

std::optional<Tin> find_tin_unopened(const Book& book, std::string_view id) {
  const auto made = thing(book, id, {"glue", "finish", "other"});
  if (!made) return lost_tin(book, id);
  if (made->entry.kind != "mix") {
    std::optional<Tin> tin = value_of<Tin>(made);
    lay_under(book, *tin);
    return tin;
  }
  const Mix mix = *value_of<Mix>(made);
  Tin tin{.entry = mix.entry, .at = mix.at};
  tin.id = mix.id;
  tin.stock = mix.stock;
  tin.kind = mix_kind;
  tin.name = mix.name;
  tin.amount = mix.amount;
  tin.mixed_from = mix.drawn;
  return tin;
}

std::optional<Batch> find_batch(const Book& book, std::string_view code) {
  return or_lost(value_of<Batch>(thing(book, code, {"batch"})), lost_batch, book, code);
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
    Facts facts = facts_of(now->entry.kind, version_written(now->entry.kind), of);
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
  } else if (const Amended left = amendments(book.sql()).all(number)[target]; !left.struck_by) {
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
      if (made_after(id)) continue;
      if (class_name ==
          "product")  // a version that tins go by is needed, whatever others there are
        if (const auto tin = tin_of_version(book, Product::read(now->body))) {
          out.push_back({id, *tin});
          continue;
        }
      // Stated anew by another entry (settings, a place, a product's label), it stays.
      bool stays = false;
      each_mention(book, id, fmt::format("struck = 0 AND kind = '{}'", now->entry.kind),
                   [&, &made = id](const Effective& e) {
                     stays |=
                         e.entry.number != target &&
                         makes(facts_of(e.entry.kind, version_written(e.entry.kind), e.body), made);
                   });
      if (stays) continue;
      const std::string others =
          "FROM mention WHERE id = ? AND struck = 0 AND entry <> ? AND kind ";
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
