// Open batches so many that two threads share them: each is told of as it would be alone.
#include <fmt/format.h>

#include <catch2/catch.hpp>
#include <cstdlib>
#include <regex>
#include <sstream>

#include "../book/folder.h"
#include "book/queries.h"
#include "commands/program.h"

using namespace trencher;
using namespace trencher::commands;

namespace {

constexpr int many = 250;

class Shop {
 public:
  Shop() {
    run({"start", "--maker", "Example Boards", "--address", "1 Example Lane", "--contact",
         "maker@example.org", "--market", "uk", "--zone", "Europe/London", "--units", "metric"});
    run({"receive", "wood", "--species", "hard-maple", "--supplier", "Yard", "--lot", "1"});
    run({"receive", "finish", "--kind", "mineral-oil", "--name", "Oil", "--supplier", "Shop",
         "--lot", "1", "--amount", "1ml"});
    run({"batch", "--wood", "W1", "--finish", "F1", "--schedule", "oil", "--pieces", "2", "--size",
         "300x200x20mm", "--use", "serving-board"});
  }

  std::string run(std::vector<std::string> words) {
    words.insert(words.end(), {"--book", file()});
    std::istringstream in;
    std::ostringstream out;
    const Surroundings around{.now = now, .in = in, .out = out, .err = out};
    run_words(std::move(words), around);
    return out.str();
  }

  // The one batch again and again.
  void multiply() {
    book::Book book = book::Book::open(file());
    Batch batch = book::find_batch(book, code(1)).value();
    book::Writing writing(book);
    for (int i = 2; i <= many; ++i) {
      batch.code = code(i);
      writing.append("batch", batch.body(), {batch.at, now, 1});
    }
    writing.commit();
  }

  static std::string code(int number) { return fmt::format("26-{:03}", number); }
  std::string file() const { return folder_ / "book.db"; }

 private:
  const Instant now = instant_from_iso("2026-12-05T12:00:00Z");
  Folder folder_;
};

std::vector<std::string> lines_of(const std::string& told, const std::string& batch) {
  std::vector<std::string> out;
  std::istringstream lines(told);
  for (std::string line; std::getline(lines, line);)
    if (line.find(batch) != std::string::npos) out.push_back(line);
  return out;
}

double millilitres_to_come(const std::string& told) {
  const std::string one_line = std::regex_replace(told, std::regex("\\s+"), " ");
  std::smatch found;
  REQUIRE(std::regex_search(one_line, found, std::regex("take about ([0-9.]+) (m?l)")));
  return std::stod(found[1]) * (found[2] == "l" ? 1000 : 1);
}

}  // namespace

TEST_CASE("due: hundreds of open batches are each told of as one alone, and in order") {
  Shop shop;
  const std::string first = shop.run({"due"});
  const std::vector<std::string> alone = lines_of(first, Shop::code(1));
  const double one_ml = millilitres_to_come(first);
  REQUIRE_FALSE(alone.empty());
  shop.multiply();
  const std::string told = shop.run({"due"});
  std::size_t before = 0;
  for (int i = 1; i <= many; ++i) {
    std::vector<std::string> lines = lines_of(told, Shop::code(i));
    REQUIRE(lines.size() == alone.size());
    const std::size_t at = told.find(lines.front());
    CHECK((i == 1 || at > before));
    before = at;
    for (std::size_t n = 0; n < lines.size(); ++n) {
      lines[n].replace(lines[n].find(Shop::code(i)), 6, Shop::code(1));
      CHECK(lines[n] == alone[n]);
    }
  }
  // What both halves take of the tin is told as one; one batch's share is a rounded millilitre.
  CHECK(millilitres_to_come(told) == Approx(many * one_ml).epsilon(0.05));
}
