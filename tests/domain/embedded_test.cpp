#include "domain/embedded.h"

#include <array>
#include <catch2/catch.hpp>
#include <stdexcept>

using namespace trencher;

TEST_CASE("embedded: a file is found by its path and a missing one is our mistake") {
  constexpr std::array<EmbeddedFile, 2> files{{{"a/one.sql", "1"}, {"a/two.sql", "2"}}};
  CHECK(embedded_text(files, "a/two.sql") == "2");
  CHECK(embedded_text(files, "a/one.sql") == "1");
  CHECK_THROWS_AS(embedded_text(files, "two.sql"), std::logic_error);
}
