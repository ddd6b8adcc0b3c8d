// A new book out of what can still be read of a damaged one, or of a cut or altered export.
//
// An entry is kept as it was found where the chain of hashes proves it. One whose bytes do not fit
// its hash is lost: nobody knows what it said. The first entry behind a gap is proved where the
// hash of the entry before could still be read and fits; else it is kept as unproved, and said to
// be so. What is lost stands in an entry of the kind `rescued`.
#pragma once

#include <cstdint>
#include <filesystem>
#include <functional>

#include "book/book.h"
#include "domain/records.h"

namespace trencher::book {

struct RescueReport {
  std::int64_t entries = 0;  // that were kept
  std::int64_t entry = 0;    // the `rescued` one behind them
  std::string last_hash;
  Rescued said;
};

// Error::book and no book where nothing can be rescued or `target` exists. `damaged` is only read.
// `progress` hears of each stage how far the whole has come, of a hundred.
RescueReport rescue(const std::filesystem::path& damaged, const std::filesystem::path& target,
                    Instant now,
                    const std::function<void(std::int64_t, std::int64_t)>& progress = {});

}  // namespace trencher::book
