#include "book/rebuild_watch.h"

#include <utility>

#include "book/book.h"
#include "book/sql.h"

namespace trencher::book {

RebuildWatch::RebuildWatch(Book& book, Told told) : book_(book) {
  book_.sql().rebuild_watch = std::move(told);
}

RebuildWatch::~RebuildWatch() { book_.sql().rebuild_watch = nullptr; }

}  // namespace trencher::book
