// Whoever waits while a correction or strike folds the journal hears how far it is.
#include "book/rebuild_watch.h"

#include "shop.h"

using namespace shop;

TEST_CASE("a strike tells of each entry that it folds, and a usual entry of none") {
  Lived shop;
  std::vector<std::pair<std::int64_t, std::int64_t>> told;
  const auto count = shop.book().entry_count();
  {
    const book::RebuildWatch watch(
        shop.book(), [&](std::int64_t done, std::int64_t of) { told.emplace_back(done, of); });
    Writing writing(shop.book());
    const book::Stamp stamp{{shop.tick(), 0}, shop.tick(), 1};
    writing.append("scrap", scrap("26-001", {2}).body(), stamp);
    CHECK(told.empty());
    writing.append("strike", strike_body(shop.coat_entry), stamp);
    REQUIRE(told.size() == static_cast<std::size_t>(count + 2));
    for (std::size_t i = 0; i < told.size(); ++i)
      CHECK(told[i] == std::pair(static_cast<std::int64_t>(i + 1), count + 2));
    writing.commit();
  }
  const auto heard = told.size();
  Writing later(shop.book());
  later.append("strike", strike_body(count + 1), {{shop.tick(), 0}, shop.tick(), 1});
  CHECK(told.size() == heard);
}
