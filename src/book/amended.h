// What may be asked of one entry without reading its body.
#pragma once

#include <cstdint>
#include <optional>

#include "book/book.h"

namespace trencher::book {

bool is_amended(const Book& book, std::int64_t number);  // corrected or struck
// When it happened, by its correction where there is one; absent where there is no such entry.
std::optional<Moment> happened_at(const Book& book, std::int64_t number);

}  // namespace trencher::book
