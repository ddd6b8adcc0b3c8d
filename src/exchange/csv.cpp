#include "exchange/csv.h"

#include <csv.h>

#include <algorithm>
#include <utility>

#include "domain/error.h"

namespace trencher::exchange {
namespace {

using Cells = std::vector<std::string>;

Error at_line(std::string_view file, std::size_t line, const std::string& what) {
  return Error::request(std::string(file) + ", line " + std::to_string(line) + ": " + what);
}

int no_space(unsigned char) { return 0; }  // libcsv would trim blanks, which RFC 4180 keeps

class Parser {
 public:
  Parser(std::string_view file, char separator) : file_(file) {
    if (csv_init(&parser_, CSV_STRICT | CSV_STRICT_FINI) != 0)
      throw Error::book(std::string(file) + ": no memory left to read it.");
    csv_set_space_func(&parser_, no_space);
    csv_set_delim(&parser_, static_cast<unsigned char>(separator));
  }
  ~Parser() { csv_free(&parser_); }
  Parser(const Parser&) = delete;
  Parser& operator=(const Parser&) = delete;

  // Line by line, so that each row and each error knows its line.
  void read(std::string_view text) {
    std::size_t line = 0;
    while (!text.empty()) {
      ++line;
      std::size_t end = std::min(text.find_first_of("\r\n"), text.size());
      const bool blank = end == 0;
      if (end < text.size()) end += text.substr(end, 2) == "\r\n" ? 2 : 1;
      if (!inside_) start_ = line;
      const std::size_t before = rows.size();
      feed(text.substr(0, end), line);
      inside_ = rows.size() == before && (inside_ || !blank);
      text.remove_prefix(end);
    }
    if (csv_fini(&parser_, on_cell, on_row, this) != 0)
      throw at_line(file_, start_,
                    "a quoted cell in the row that begins here is never closed; it must end in a "
                    "quote.");
  }

  std::vector<Cells> rows;
  std::vector<std::size_t> lines;

 private:
  void feed(std::string_view part, std::size_t line) {
    if (csv_parse(&parser_, part.data(), part.size(), on_cell, on_row, this) == part.size()) return;
    if (csv_error(&parser_) != CSV_EPARSE)
      throw Error::book(std::string(file_) + ": " + csv_strerror(csv_error(&parser_)) + ".");
    throw at_line(file_, line,
                  "a quote stands where none may; a cell with quotes is quoted whole and its "
                  "quotes are doubled.");
  }

  static void on_cell(void* text, std::size_t size, void* self) {
    static_cast<Parser*>(self)->cells_.emplace_back(static_cast<const char*>(text), size);
  }
  static void on_row(int, void* self) {
    auto& parser = *static_cast<Parser*>(self);
    parser.rows.push_back(std::exchange(parser.cells_, {}));
    parser.lines.push_back(parser.start_);
  }

  std::string_view file_;
  csv_parser parser_{};
  Cells cells_;
  std::size_t start_ = 1;  // line on which the row being read begins
  bool inside_ = false;    // a row has begun and not ended
};

}  // namespace

CsvTable CsvTable::parse(std::string_view text, std::string_view file, char separator) {
  constexpr std::string_view mark = "\xEF\xBB\xBF";
  if (text.starts_with(mark)) text.remove_prefix(mark.size());
  Parser parser(file, separator);
  parser.read(text);

  CsvTable table;
  table.file_ = file;
  if (parser.rows.empty())
    throw Error::request(table.file_ + " is empty; its first line must name the columns.");
  table.header_ = std::move(parser.rows.front());
  for (std::size_t i = 0; i < table.header_.size(); ++i)
    if (const auto [at, added] = table.columns_.try_emplace(table.header_[i], i); !added)
      at->second.reset();
  for (std::size_t i = 1; i < parser.rows.size(); ++i) {
    const std::size_t cells = parser.rows[i].size();
    if (cells != table.header_.size())
      throw at_line(file, parser.lines[i],
                    "this row has " + std::to_string(cells) + " cells and the header " +
                        std::to_string(table.header_.size()) + "; they must be as many.");
    table.rows_.push_back(std::move(parser.rows[i]));
    table.lines_.push_back(parser.lines[i]);
  }
  return table;
}

std::optional<std::size_t> CsvTable::find_column(std::string_view name) const {
  const auto found = columns_.find(name);
  if (found == columns_.end()) return std::nullopt;
  if (!found->second)
    throw Error::request(file_ + ": two columns are named '" + std::string(name) +
                         "'; a column that is read must have a name of its own.");
  return found->second;
}

std::size_t CsvTable::column(std::string_view name) const {
  if (const auto found = find_column(name)) return *found;
  std::string names;
  for (const std::string& known : header_) names += (names.empty() ? "" : ", ") + known;
  throw Error::request(file_ + ": there is no column '" + std::string(name) + "' among: " + names +
                       ".");
}

std::string csv_field(std::string_view text) {
  const bool plain = text.find_first_of(",\"\r\n") == std::string_view::npos;
  if (plain) return std::string(text);
  std::string quoted(text.size() * 2 + 2, '\0');
  quoted.resize(csv_write(quoted.data(), quoted.size(), text.data(), text.size()));
  return quoted;
}

std::string csv_record(std::span<const std::string> cells) {
  std::string record;
  for (const std::string& cell : cells) {
    if (&cell != cells.data()) record += ',';
    record += csv_field(cell);
  }
  return record += "\r\n";
}

}  // namespace trencher::exchange
