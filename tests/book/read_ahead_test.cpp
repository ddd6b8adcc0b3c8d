#include "book/read_ahead.h"

#include <catch2/catch.hpp>

using trencher::book::ReadAhead;

TEST_CASE("read ahead: parts are handed on in order, each worked on once") {
  std::vector<int> came;
  ReadAhead<int> ahead([](int& part) { part *= 2; }, [&](int& part) { came.push_back(part); });
  for (int i = 0; i < 1000; ++i) ahead.push(i);
  ahead.finish();
  REQUIRE(came.size() == 1000);
  for (int i = 0; i < 1000; ++i) CHECK(came[static_cast<std::size_t>(i)] == 2 * i);
}

TEST_CASE("read ahead: what fails comes out in its turn, and nothing behind it is handed on") {
  int last = -1;
  ReadAhead<int> ahead(
      [](int& part) {
        if (part == 20) throw std::runtime_error("twenty");
      },
      [&](int& part) { last = part; });
  CHECK_THROWS_WITH(
      [&] {
        for (int i = 0; i < 1000; ++i) ahead.push(i);
        ahead.finish();
      }(),
      "twenty");
  CHECK(last == 19);
}
