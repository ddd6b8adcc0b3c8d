#include "book/lost.h"

#include "book/kinds.h"
#include "book/queries.h"
#include "book/sql.h"

namespace trencher::book {
namespace {

// Whether the entry that made it is lost.
bool is_lost(const Book& book, std::string_view id, std::string_view class_name) {
  return class_of(book, id) == class_name && is_lost_thing(book, id);
}

// It was there at the latest when an entry first speaks of it.
Moment first_spoken_of(const Book& book, std::string_view id) {
  const auto first = book.sql().number(
      "SELECT min(entry) FROM mention WHERE id = ? AND kind <> 'rescued'", std::string(id));
  const auto entry = first ? effective_entry(book, *first) : std::nullopt;
  return entry ? entry->happened : Moment{};
}

}  // namespace

std::optional<Tin> lost_tin(const Book& book, std::string_view id) {
  const std::string stock = class_of(book, id);
  if (stock != "glue" && stock != "finish" && stock != "other") return {};
  if (!is_lost_thing(book, id)) return {};
  Tin out{.at = first_spoken_of(book, id)};
  out.id = id;
  out.stock = stock;
  out.name = lost_words;
  return out;
}

std::optional<WoodLot> lost_wood(const Book& book, std::string_view id) {
  if (!is_lost(book, id, "wood")) return {};
  WoodLot out{.at = first_spoken_of(book, id)};
  out.id = id;
  out.common_name = lost_words;
  return out;
}

std::optional<Product> lost_product(const Book& book, std::string_view id) {
  if (!is_lost(book, id, "product")) return {};
  Product out{.at = first_spoken_of(book, id)};
  out.id = id;
  out.name = lost_words;
  return out;
}

std::optional<Batch> lost_batch(const Book& book, std::string_view code) {
  if (!is_lost(book, code, "batch")) return {};
  Batch out{.at = first_spoken_of(book, code)};
  out.code = code;
  out.schedule.name = lost_words;
  out.pieces = static_cast<int>(
      book.sql()
          .number("SELECT max(number) FROM piece WHERE batch = ?", std::string(code))
          .value_or(0));
  return out;
}

std::optional<Place> lost_place(const Book& book, std::string_view place) {
  if (!is_lost(book, place_id(place), "place")) return {};
  return Place{std::string(place), std::string(place), {}, {}};
}

std::optional<Worker> lost_worker(const Book& book, std::string_view worker) {
  if (!is_lost(book, worker, "worker")) return {};
  Worker out;
  out.id = counted(worker).number;
  return out;
}

Workshop lost_workshop() {
  Workshop out;
  out.maker = out.address = out.contact = lost_words;
  out.zone = "Etc/UTC";
  return out;
}

}  // namespace trencher::book
