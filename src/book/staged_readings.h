// The readings of an import, however many, in order of time: kept in a temporary file of SQLite's,
// which has no name and is gone with the program, while they are checked and compared.
//
//   StagedReadings staged(book);
//   ... staged.add(sample, line) ...
//   Writing writing(book);
//   if (staged.compare(place).fresh > 0) staged.each_fresh([&](const Reading& sample) { ... });
#pragma once

#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <string_view>

#include "book/book.h"
#include "domain/records.h"

namespace trencher::book {

class StagedReadings {
 public:
  // `book` must live on. Throws Error::book, here and below, where the temporary file fails.
  explicit StagedReadings(const Book& book);
  ~StagedReadings();
  StagedReadings(const StagedReadings&) = delete;
  StagedReadings& operator=(const StagedReadings&) = delete;

  // Takes in a sample; one that is there already is left out. Returns the line of an earlier sample
  // with another value for the same moment, in whose stead nothing is taken in.
  std::optional<std::int64_t> add(const Reading& sample, std::int64_t line);

  // From the first sample to the last; absent where there is none.
  struct Span {
    Instant first, last;
  };
  std::optional<Span> span() const { return span_; }

  // What the book holds of them for a place: by its readings, and by the steps logged there with a
  // temperature. Of several values for one moment the later entry's counts. `told` hears how many
  // of the book's entries have been gone through. Called once, within the Writing.
  struct Compared {
    std::int64_t fresh = 0;     // not there, or with another value
    std::int64_t known = 0;     // there with the same value
    std::int64_t replaced = 0;  // of the fresh: there with another value
    std::optional<Span> fresh_span;
  };
  using Told = std::function<void(std::uint64_t done, std::uint64_t of)>;
  Compared compare(std::string_view place, const Told& told = {});

  // After compare(), by time; Reading::entry is none.
  void each_fresh(const std::function<void(const Reading&)>& use) const;

 private:
  struct Store;
  template <typename Work>
  auto guarded(Work work) const;

  const Book& book_;
  std::unique_ptr<Store> store_;
  std::optional<Span> span_;
};

}  // namespace trencher::book
