// How far a book is that folds its state anew, which a correction or a strike makes it do.
#pragma once

#include <cstdint>
#include <functional>

namespace trencher::book {

class Book;

// While it lives, `told` hears of each entry folded: so many, of so many.
class RebuildWatch {
 public:
  using Told = std::function<void(std::int64_t done, std::int64_t of)>;
  RebuildWatch(Book& book, Told told);
  ~RebuildWatch();
  RebuildWatch(const RebuildWatch&) = delete;
  RebuildWatch& operator=(const RebuildWatch&) = delete;

 private:
  Book& book_;
};

}  // namespace trencher::book
