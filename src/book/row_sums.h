// Whether two ways to come by the rows of a table give the same rows, in whatever order: the sum of
// the SHA-256 of each row under a key drawn anew for each comparing.
#pragma once

#include <array>
#include <cstdint>
#include <map>
#include <span>
#include <string>
#include <string_view>

#include "book/value.h"

namespace trencher::book {

class RowSums {
 public:
  explicit RowSums(std::string key) : key_(std::move(key)) {}
  void take(std::string_view table, std::span<const Value> row);
  bool same(std::string_view table, const RowSums& other) const;

 private:
  struct Sum {
    std::array<std::uint64_t, 4> of{};
    std::uint64_t rows = 0;
    bool operator==(const Sum&) const = default;
  };
  std::string key_, bytes_;
  std::map<std::string, Sum, std::less<>> sums_;
};

}  // namespace trencher::book
