// A step is judged by what the book says when it is written: what somebody else enters between the
// question and the answer counts.
#include <catch2/catch.hpp>
#include <functional>
#include <sstream>
#include <streambuf>

#include "../book/folder.h"
#include "book/book.h"
#include "commands/program.h"

namespace {

using trencher::commands::run_words;
using trencher::commands::Surroundings;

// An answer at the terminal, before which something happens.
class Answer : public std::streambuf {
 public:
  Answer(std::string text, std::function<void()> before)
      : text_(std::move(text)), before_(std::move(before)) {}

 private:
  int_type underflow() override {
    if (given_) return traits_type::eof();
    given_ = true;
    before_();
    setg(text_.data(), text_.data(), text_.data() + text_.size());
    return traits_type::to_int_type(text_.front());
  }
  std::string text_;
  std::function<void()> before_;
  bool given_ = false;
};

struct Shop {
  Shop() {
    run({"start", "--maker", "Example Boards", "--address", "1 Example Lane", "--contact",
         "maker@example.org", "--market", "uk", "--zone", "Europe/London", "--units", "metric"});
    run({"receive", "wood", "--species", "hard-maple", "--supplier", "Yard", "--lot", "1"});
    run({"receive", "finish", "--kind", "mineral-oil", "--name", "Oil", "--supplier", "Shop",
         "--lot", "1", "--amount", "10ml"});
    run({"batch", "--wood", "W1", "--finish", "F1", "--schedule", "oil", "--pieces", "1", "--size",
         "300x200x20mm", "--use", "serving-board"});
    REQUIRE(printed.find("Batch ") != std::string::npos);
    batch = printed.substr(printed.find("Batch ") + 6, 6);
  }

  // The status. `meanwhile` happens when something is asked.
  int run(std::vector<std::string> words, const std::function<void()>& meanwhile = {}) {
    words.insert(words.end(), {"--book", file()});
    Answer answer(
        "a trial\n", meanwhile ? meanwhile : [] {});
    std::istream in(&answer);
    std::ostringstream out, err;
    const Surroundings surroundings{.now = trencher::instant_from_iso("2026-12-05T12:00:00Z"),
                                    .in = in,
                                    .out = out,
                                    .err = err,
                                    .terminal = static_cast<bool>(meanwhile)};
    const int status = run_words(std::move(words), surroundings);
    printed = out.str() + err.str();
    return status;
  }
  int coat(const std::function<void()>& meanwhile) {
    return run({"log", "coat", batch, "--from", "F1=50ml"}, meanwhile);
  }
  std::int64_t entries() const { return trencher::book::Book::open(file()).entry_count(); }
  std::string file() const { return folder / "book.db"; }

  Folder folder;
  std::string printed, batch;
};

}  // namespace

TEST_CASE("log: what is asked about and nobody changes meanwhile is written") {
  Shop shop;
  const auto before = shop.entries();
  CHECK(shop.coat([] {}) == 1);  // more than the tin held
  CHECK_THAT(shop.printed, Catch::Contains("holds 10 ml by the record"));
  CHECK(shop.entries() == before + 1);
}

TEST_CASE("log: a board that is scrapped while somebody thinks gets no coat") {
  Shop shop;
  const auto before = shop.entries();
  const auto scrapped = [&] { shop.run({"scrap", shop.batch, "--why", "it split"}); };
  CHECK(shop.coat(scrapped) == 2);
  CHECK_THAT(shop.printed, Catch::Contains("No piece of batch"));
  CHECK(shop.entries() == before + 1);
}

TEST_CASE("log: a tin that is withdrawn while somebody thinks stays shut, whatever the reason") {
  Shop shop;
  const auto before = shop.entries();
  const auto withdrawn = [&] { shop.run({"withdraw", "F1", "--why", "the maker called it back"}); };
  CHECK(shop.coat(withdrawn) == 2);
  CHECK_THAT(shop.printed, Catch::Contains("F1 Oil is withdrawn"));
  CHECK(shop.entries() == before + 1);
}
