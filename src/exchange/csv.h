// CSV text (RFC 4180) read into cells, and cells written as CSV. Spaces are part of a cell; a quote
// inside an unquoted cell, or text after a closing quote, is an error. Empty lines are skipped, a
// byte order mark at the start is dropped, and lines may end in LF, CR LF or CR.
//
//   const auto table = exchange::CsvTable::parse(text, "readings.csv");
//   const std::size_t at = table.column("temperature");
//   for (std::size_t i = 0; i < table.size(); ++i) use(table.row(i)[at]);
//
// A text too long to be held comes in parts:
//
//   exchange::CsvReader reader("readings.csv", ',', [&](std::size_t line, const auto& cells) { ...
//   }); while (...) reader.take(part); reader.finish();
#pragma once

#include <cstddef>
#include <cstdint>
#include <functional>
#include <memory>
#include <optional>
#include <span>
#include <string>
#include <string_view>
#include <vector>

namespace trencher::exchange {

// Holds no more than the row that is being read.
class CsvReader {
 public:
  // A row as it ends, the one that names the columns first, with the line of the file, from 1, on
  // which it begins: cells may hold line ends. The cells last until the next row.
  using Row = std::function<void(std::size_t line, const std::vector<std::string>& cells)>;

  // `separator` stands between cells; RFC 4180 has the comma.
  CsvReader(std::string file, char separator, Row use);
  ~CsvReader();
  CsvReader(const CsvReader&) = delete;
  CsvReader& operator=(const CsvReader&) = delete;

  // Parts may end anywhere. Throws Error (request) that names the file and the line of a row with
  // more or fewer cells than the first, a stray or unclosed quote, or a row of over a million
  // bytes.
  void take(std::string_view part);
  // After the last part. As take(), and where there was no row at all.
  void finish();

 private:
  class Parser;
  std::unique_ptr<Parser> parser_;
};

class CsvTable {
 public:
  // The first row names the columns; every further row has as many cells. Errors as CsvReader's.
  static CsvTable parse(std::string_view text, std::string_view file, char separator = ',');

  const std::string& file() const { return file_; }
  const std::vector<std::string>& header() const { return header_; }
  std::size_t size() const { return rows_.size(); }  // rows below the header
  const std::vector<std::string>& row(std::size_t index) const { return rows_.at(index); }
  std::size_t line(std::size_t index) const { return lines_.at(index); }

  // Position of the only column of that name; absent where there is none.
  // Throws Error (request) where two columns share it.
  std::optional<std::size_t> find_column(std::string_view name) const;
  // As find_column, and throws Error (request) where there is none.
  std::size_t column(std::string_view name) const;

 private:
  std::string file_;
  std::vector<std::string> header_;
  std::vector<std::vector<std::string>> rows_;
  std::vector<std::size_t> lines_;
};

// One cell, quoted only where RFC 4180 asks for it.
std::string csv_field(std::string_view text);

// One record with its CR LF.
std::string csv_record(std::span<const std::string> cells);

// The same for a sheet that people open in a spreadsheet program: made harmless by shown(), and a
// cell that would be taken for a formula has a ' before it.
std::string sheet_record(std::span<const std::string> cells);

// A row of such a sheet, cell by cell; numbers stay numbers, negative ones too.
//
//   row.text("=1").scaled(-1500, 3).blank();
//   use(row.record());  // '=1,-1.5, and CR LF; the row is empty again
class SheetRow {
 public:
  SheetRow& text(std::string_view value);
  SheetRow& number(std::int64_t value) { return scaled(value, 0); }
  // `value` with the point `digits` from its right, without zeros at its end: exact.
  SheetRow& scaled(std::int64_t value, int digits);
  // One JSON text, so that reading it as JSON gives the same value: what shown() or a formula's
  // mark would change stands as \uXXXX.
  SheetRow& json(std::string_view value);
  SheetRow& blank() { return add({}); }
  std::string record();

 private:
  SheetRow& add(std::string_view cell);
  std::string row_;
  bool begun_ = false;
};

}  // namespace trencher::exchange
