#include "commands/program.h"

#include <catch2/catch.hpp>
#include <sstream>

#include "domain/time.h"

namespace {

using trencher::commands::Surroundings;

struct Said {
  int status;
  std::string out, err;
};

Said run(std::vector<std::string> words) {
  std::istringstream in;
  std::ostringstream out, err;
  const Surroundings nowhere{
      .now = trencher::instant_from_iso("2026-12-05T12:00:00Z"), .in = in, .out = out, .err = err};
  const int status = trencher::commands::run_words(std::move(words), nowhere);
  return {status, out.str(), err.str()};
}

TEST_CASE("without a home and a variable somebody must name the book") {
  const Said said = run({"due"});
  CHECK(said.status == 2);
  CHECK(said.out.empty());
  CHECK(said.err == "trencher: No book is named: give --book FILE or set TRENCHER_BOOK.\n");
}

TEST_CASE("a word that is no UTF-8 is refused before anything is done") {
  const Said said = run({"log", "note", "26-001", "a\377b"});
  CHECK(said.status == 2);
  CHECK(said.err ==
        "trencher: Word 4 of the command, 'a\xEF\xBF\xBD"
        "b', is not valid UTF-8 text.\n");
}

}  // namespace
