// What stands in a rescued book for a thing that entries speak of although the entry that made it
// is lost: nothing is known of it but its id and that it was there when first spoken of. Its
// `entry` is 0. For book/queries*.cpp alone.
#pragma once

#include <optional>
#include <string>
#include <string_view>

#include "book/book.h"
#include "domain/records.h"

namespace trencher::book {

// Absent where the id is not of a lost thing of that class.
std::optional<Tin> lost_tin(const Book& book, std::string_view id);
std::optional<WoodLot> lost_wood(const Book& book, std::string_view id);
std::optional<Product> lost_product(const Book& book, std::string_view id);
std::optional<Batch> lost_batch(const Book& book, std::string_view code);
std::optional<Place> lost_place(const Book& book, std::string_view place);
std::optional<Worker> lost_worker(const Book& book, std::string_view worker);  // "worker:2"
Workshop lost_workshop();

}  // namespace trencher::book
