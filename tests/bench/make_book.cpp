// Makes a big invented book: the lives of N pieces, ten to a batch, three coats a batch.
//
//   make_book BOOK --pieces 10000 [--open 20] [--seed 1] [--end 2026-11-20]
//
// Entries go in through book::Writing in one transaction, bodies out of the records' own body(),
// the state by one rebuild at the end: what an import does.
#include <fmt/format.h>

#include <charconv>
#include <chrono>
#include <cstdlib>
#include <string_view>

#include "book/sql.h"
#include "domain/error.h"
#include "invented_shop.h"

namespace {

using namespace bench;

std::int64_t whole(std::string_view text) {
  std::int64_t out = 0;
  const auto [end, code] = std::from_chars(text.data(), text.data() + text.size(), out);
  if (code != std::errc() || end != text.data() + text.size())
    throw trencher::Error::request(fmt::format("'{}' is no whole number.", text));
  return out;
}

int run(int count, char** words) {
  if (count < 2 || count % 2 != 0) {
    fmt::print(stderr, "usage: make_book BOOK [--pieces N] [--open K] [--seed N] [--end DAY]\n");
    return 2;
  }
  Plan plan;
  plan.end = std::chrono::floor<std::chrono::days>(std::chrono::system_clock::now());
  for (int i = 2; i < count; i += 2) {
    const std::string_view name = words[i], value = words[i + 1];
    if (name == "--pieces")
      plan.batches = whole(value) / pieces_a_batch;
    else if (name == "--open")
      plan.open = whole(value);
    else if (name == "--seed")
      plan.seed = std::uint32_t(whole(value));
    else if (name == "--end")
      plan.end = std::chrono::sys_days(trencher::parse_day(value, "the end"));
    else
      throw trencher::Error::request(fmt::format("There is no option {}.", name));
  }
  plan.open = std::min(plan.open, plan.batches);
  const auto begun = std::chrono::steady_clock::now();
  const auto seconds = [&] {
    return std::chrono::duration<double>(std::chrono::steady_clock::now() - begun).count();
  };
  std::int64_t entries = 0;
  double entered = 0;
  book::Book::create(
      words[1],
      [&](book::Book& book) {
        book.sql().script(
            "PRAGMA synchronous=OFF; PRAGMA cache_size=-400000");  // no power cut here
        Shop shop(book, plan);
        shop.live();
        entries = shop.entries();
        entered = seconds();
        shop.finish();
      },
      std::string(32, 'b'));
  fmt::print(
      "{} batches ({} open), {} pieces, {} entries: entered in {:.1f} s, state by {:.1f} s\n",
      plan.batches, plan.open, plan.batches * pieces_a_batch, entries, entered, seconds());
  return 0;
}

}  // namespace

int main(int count, char** words) {
  try {
    return run(count, words);
  } catch (const std::exception& failure) {
    fmt::print(stderr, "{}\n", failure.what());
    return 2;
  }
}
