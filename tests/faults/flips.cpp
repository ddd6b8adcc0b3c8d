// Flips bytes of a small but full book's file, one at a time, and asks whether opening or verifying
// tells of it; one that nothing tells of must be harmless: export and state are as they were.
//
//   flips [--every K] [--per-byte N] [--seed S] [--from BYTE] [--to BYTE] [--rescue-every R]
//   [--self-test]
//
// K: every K-th byte; N: flips of each, by other values; R: every R-th flipped file is also
// rescued. Status 1 where a flip was missed, a claim of verify was wrong, or a rescue failed or
// took in what was never written. --self-test: pretends that verify lacks one of its checks, which
// must then be missed.
#define CATCH_CONFIG_RUNNER
#include <fmt/format.h>

#include <chrono>
#include <cstring>
#include <random>

#include "../book/shop.h"
#include "book/chain.h"
#include "book/rescue.h"
#include "book/state.h"
#include "domain/text.h"

using namespace shop;

namespace {

struct Wish {
  std::size_t every = 1, per_byte = 1, from = 0, to = SIZE_MAX, rescue_every = 0;
  unsigned seed = 1;
  bool self_test = false;
};

std::string state_of(const Book& book) {
  std::string out;
  for (const std::string& table : book::State::tables()) {
    std::vector<std::string> columns;
    book.sql().each("SELECT name FROM pragma_table_info('" + table + "')",
                    [&](const book::Row& row) { columns.push_back("quote(" + row.text(0) + ")"); });
    std::vector<std::string> rows;
    book.sql().each("SELECT " + join(columns, "||','||") + " FROM " + table,
                    [&](const book::Row& row) { rows.push_back(row.text(0)); });
    std::sort(rows.begin(), rows.end());
    out += table + "\n" + join(rows, "\n") + "\n";
  }
  return out;
}

std::string mark_of(const book::Entry& entry) { return entry.hash + book::unproved_digest(entry); }

class Flips {
 public:
  explicit Flips(const Wish& wish) : wish_(wish), bytes_(bytes_of(shop_.file())) {
    const Book book = Book::open(shop_.file());
    export_ = exported(book);
    state_ = state_of(book);
    book.each_entry([&](const book::Entry& entry) { marks_[entry.number] = mark_of(entry); });
    path_ = shop_.folder() / "flipped.db";
    rescued_ = shop_.folder() / "rescued.db";
  }

  void run() {
    for (std::size_t at = wish_.from; at < std::min(wish_.to, bytes_.size()); at += wish_.every)
      for (std::size_t i = 0; i < wish_.per_byte; ++i) flip(at, i);
  }

  // Whether any was missed while problems of `part` alone counted for nothing.
  bool blind_to(book::Part part) {
    blind_ = part;
    std::mt19937 random(wish_.seed);
    for (int i = 0; i < 6000 && faults_ == 0; ++i) flip(random() % bytes_.size(), 0);
    const bool missed = faults_ > 0;
    faults_ = 0;
    blind_.reset();
    return missed;
  }

  int faults() const { return faults_; }
  void report() const {
    fmt::print(
        "{} flips over {} bytes: told of at opening {}, by verify {}, harmless {}; rescued {}; "
        "faults {}\n",
        opening_ + verify_ + harmless_, bytes_.size(), opening_, verify_, harmless_, rescues_,
        faults_);
  }

 private:
  void fault(std::size_t at, const std::string& what) {
    ++faults_;
    if (!blind_) fmt::print("byte {}: {}\n", at, what);
  }

  void flip(std::size_t at, std::size_t which) {
    std::mt19937 random(static_cast<unsigned>(wish_.seed * 1'000'003u + at * 31u + which));
    std::string flipped = bytes_;
    flipped[at] = static_cast<char>(flipped[at] ^ static_cast<char>(1 + random() % 255));
    put_bytes(path_, flipped);
    try {
      look(at);
      if (wish_.rescue_every && ++turn_ % wish_.rescue_every == 0) {
        put_bytes(path_, flipped);
        rescue(at);
      }
    } catch (const std::exception& failure) {
      fault(at, std::string("not a sentence of ours: ") + failure.what());
    }
  }

  void look(std::size_t at) {
    std::optional<Book> book;
    try {
      book.emplace(Book::open(path_));
    } catch (const Error&) {
      ++opening_;
      return;
    }
    const book::Verdict verdict = book::verify(*book);
    if (!verdict.whole()) check_claims(at, *book, verdict);
    if (!verdict.whole() && !(blind_ && verdict.hurt == std::set{*blind_})) {
      ++verify_;
      return;
    }
    ++harmless_;
    try {
      if (exported(*book) != export_) return fault(at, "the export is another, and nothing told");
      if (state_of(*book) != state_) fault(at, "the state is another, and nothing told");
    } catch (const Error& failure) {
      fault(at, std::string("whole, but: ") + failure.what());
    }
  }

  // What verify says can still be trusted is there as it was written.
  void check_claims(std::size_t at, const Book& book, const book::Verdict& verdict) {
    std::int64_t seen = 0;
    try {
      book.each_entry([&](const book::Entry& entry) {
        if (entry.number > verdict.trusted_to) throw Error::book("far enough");
        ++seen;
        if (mark_of(entry) != marks_[entry.number])
          fault(at, fmt::format("entry {} is said to be trusted", entry.number));
      });
    } catch (const Error&) {
      // Behind what is trusted, or not readable: then it was not seen.
    }
    if (seen != verdict.trusted_to)
      fault(at, fmt::format("{} entries are said to be trusted and {} are there; {}",
                            verdict.trusted_to, seen, verdict.problems.front()));
  }

  void rescue(std::size_t at) {
    std::filesystem::remove(rescued_);
    try {
      book::rescue(path_, rescued_, time("2027-01-01T00:00:00Z"));
    } catch (const Error& failure) {  // one byte never hides a whole book
      return fault(at, std::string("not rescued: ") + failure.what());
    }
    ++rescues_;
    Book book = Book::open(rescued_);
    if (!book::verify(book).whole()) fault(at, "the rescued book does not verify");
    book.each_entry([&](const book::Entry& entry) {
      if (entry.kind != book::rescued_kind && mark_of(entry) != marks_[entry.number])
        fault(at, fmt::format("the rescued entry {} was never written", entry.number));
    });
  }

  const Wish wish_;
  const Copy shop_;
  const std::string bytes_;
  std::string export_, state_;
  std::map<std::int64_t, std::string> marks_;
  std::filesystem::path path_, rescued_;
  std::optional<book::Part> blind_;
  std::size_t turn_ = 0;
  int opening_ = 0, verify_ = 0, harmless_ = 0, rescues_ = 0, faults_ = 0;
};

int self_test(const Wish& wish) {
  Flips flips(wish);
  int unnoticed = 0;
  for (const book::Part part : {book::Part::journal, book::Part::vault, book::Part::state}) {
    const bool missed = flips.blind_to(part);
    fmt::print("without the check of the {}: {}\n", book::part_name(part),
               missed ? "flips are missed, as they must be" : "nothing is missed");
    unnoticed += !missed;
  }
  return unnoticed ? 1 : 0;
}

std::optional<Wish> wish_of(int count, char** words) {
  Wish out;
  for (int i = 1; i < count; ++i) {
    const std::string word = words[i];
    if (word == "--self-test") {
      out.self_test = true;
      continue;
    }
    if (i + 1 >= count) return {};
    const std::size_t value = std::strtoull(words[++i], nullptr, 10);
    if (word == "--every")
      out.every = value;
    else if (word == "--per-byte")
      out.per_byte = value;
    else if (word == "--seed")
      out.seed = static_cast<unsigned>(value);
    else if (word == "--from")
      out.from = value;
    else if (word == "--to")
      out.to = value;
    else if (word == "--rescue-every")
      out.rescue_every = value;
    else
      return {};
  }
  return out.every ? std::optional(out) : std::nullopt;
}

}  // namespace

int main(int count, char** words) {
  const auto wish = wish_of(count, words);
  if (!wish) {
    fmt::print(stderr,
               "flips [--every K] [--per-byte N] [--seed S] [--from BYTE] [--to BYTE] "
               "[--rescue-every R] [--self-test]\n");
    return 2;
  }
  if (wish->self_test) return self_test(*wish);
  const auto began = std::chrono::steady_clock::now();
  Flips flips(*wish);
  flips.run();
  flips.report();
  fmt::print("{:.0f} seconds, seed {}\n",
             std::chrono::duration<double>(std::chrono::steady_clock::now() - began).count(),
             wish->seed);
  return flips.faults() ? 1 : 0;
}
