// One row of a reference table, its cells turned into typed values. Every reader throws Error
// (request) naming file, line, column, the cell and what belongs there. An empty cell is absent.
#pragma once

#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/kinds.h"
#include "exchange/csv.h"

namespace trencher::reference {

class Row {
 public:
  // REQUIRES: the table outlives the row.
  Row(const exchange::CsvTable& table, std::size_t index) : table_(table), index_(index) {}

  const std::string& text(std::string_view column) const;           // may be empty
  const std::string& required_text(std::string_view column) const;  // not empty
  const std::string& choice(std::string_view column,
                            std::initializer_list<std::string_view> allowed) const;
  bool flag(std::string_view column, std::string_view yes = "yes", std::string_view no = "") const;
  std::vector<std::string> list(std::string_view column) const;  // parts between semicolons
  Mechanism mechanism(std::string_view column) const;
  std::string sources(std::string_view column) const;  // titles of the keys in the cell

  std::optional<double> number(std::string_view column, double least, double most) const;
  std::optional<int> whole(std::string_view column, int least, int most) const;
  std::optional<Seconds> wait(std::string_view column, Seconds unit) const;  // 0 to 1000 units
  std::optional<Celsius> celsius(std::string_view column) const;
  std::optional<Percent> percent(std::string_view column) const;

  [[noreturn]] void refuse(std::string_view column, std::string_view belongs) const;

 private:
  const exchange::CsvTable& table_;
  std::size_t index_;
};

}  // namespace trencher::reference
