#include "exchange/csv.h"

#include <csv.h>
#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <utility>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::exchange {
namespace {

constexpr std::string_view mark = "\xEF\xBB\xBF";  // of the order of bytes; says nothing in UTF-8
constexpr std::size_t longest_row = 1'000'000;     // bytes

// OWASP ASVS 5.0, requirement 1.2.10 (read): = + - @ (tabs and line ends are gone by shown()), and
// their wide forms, which some programs read alike (OWASP, CSV Injection; from memory).
constexpr std::array formula_beginnings{"=", "+", "-", "@", "＝", "＋", "－", "＠"};

// Blanks of any kind stand for nothing there, as spreadsheet programs may cut them.
bool begins_formula(std::string_view text) {
  const std::array blanks{std::string_view(" "), std::string_view("\u00A0"),
                          std::string_view("\u3000")};
  while (true) {
    const auto blank = std::find_if(blanks.begin(), blanks.end(),
                                    [&](std::string_view b) { return text.starts_with(b); });
    if (blank == blanks.end()) break;
    text.remove_prefix(blank->size());
  }
  return std::any_of(formula_beginnings.begin(), formula_beginnings.end(),
                     [&](std::string_view sign) { return text.starts_with(sign); });
}

// Where a program takes ; for what separates cells, one begins behind it, too.
std::string sheet_cell(std::string_view text) {
  std::string out;
  while (true) {
    const std::size_t end = std::min(text.find(';'), text.size());
    if (begins_formula(text)) out += '\'';
    out += text.substr(0, std::min(end + 1, text.size()));
    if (end == text.size()) return out;
    text.remove_prefix(end + 1);
  }
}

// Whether a cell of a sheet stands as it is: ASCII that nothing below would change or quote, as
// most are.
bool stands_as_it_is(std::string_view text) {
  constexpr std::string_view never_first = " =+-@";
  return text.size() <= longest_shown &&
         (text.empty() || never_first.find(text.front()) == std::string_view::npos) &&
         std::all_of(text.begin(), text.end(), [](char c) {
           return c >= ' ' && c <= '~' && c != '"' && c != ',' && c != ';';
         });
}

int no_space(unsigned char) { return 0; }  // libcsv would trim blanks, which RFC 4180 keeps

}  // namespace

class CsvReader::Parser {
 public:
  Parser(std::string file, char separator, Row use)
      : file_(std::move(file)), separator_(separator), use_(std::move(use)) {
    if (csv_init(&parser_, CSV_STRICT | CSV_STRICT_FINI) != 0)
      throw Error::book(file_ + ": no memory left to read it.");
    csv_set_space_func(&parser_, no_space);
    csv_set_delim(&parser_, static_cast<unsigned char>(separator));
  }
  ~Parser() { csv_free(&parser_); }
  Parser(const Parser&) = delete;
  Parser& operator=(const Parser&) = delete;

  void take(std::string_view part) {
    if (!begun_) {
      beginning_ += part;
      if (beginning_.size() >= mark.size()) begin();
    } else {
      read(part);
    }
  }

  void finish() {
    if (!begun_) begin();
    if (csv_fini(&parser_, on_cell, on_row, this) != 0)
      throw at_line(start_,
                    "a quoted cell in the row that begins here is never closed; it must end in a "
                    "quote.");
    if (row_ended_) hand_over();
    if (columns_ == 0)
      throw Error::request(file_ + " is empty; its first line must name the columns.");
  }

 private:
  void begin() {
    begun_ = true;
    std::string_view text = beginning_;
    if (text.starts_with(mark)) text.remove_prefix(mark.size());
    read(text);
  }

  // Line by line, so that each row and each error knows its line.
  void read(std::string_view text) {
    if (text.starts_with('\n') && std::exchange(after_cr_, false)) {  // both are one line's end
      feed(text.substr(0, 1));
      text.remove_prefix(1);
    }
    while (!text.empty()) {
      if (!inside_line_) {
        ++line_;
        if (!inside_row_) start_ = line_;
      }
      const auto stop =
          std::find_if(text.begin(), text.end(), [](char c) { return c == '\r' || c == '\n'; });
      auto end = static_cast<std::size_t>(stop - text.begin());
      const std::string_view line = text.substr(0, end);
      const bool whole = !inside_row_ && end > 0 && end < text.size();
      inside_row_ = inside_row_ || end > 0;
      inside_line_ = end == text.size();
      if (!inside_line_) end += text.substr(end, 2) == "\r\n" ? 2 : 1;
      if (!whole || !take_plain(line)) feed(text.substr(0, end));
      after_cr_ = text[end - 1] == '\r';
      text.remove_prefix(end);
    }
  }

  // A row whose quotes stand round whole cells alone, as a logger writes them by the million, is
  // cut where the separators stand; one with other quotes is left to the library.
  bool take_plain(std::string_view line) {
    std::string_view rest = line;
    while (true) {
      const bool quoted = rest.starts_with('"');
      if (quoted) rest.remove_prefix(1);
      const std::size_t end = std::min(rest.find(quoted ? '"' : separator_), rest.size());
      const std::string_view cell = rest.substr(0, end);
      rest.remove_prefix(end);
      const bool closed = quoted ? rest.starts_with('"') : cell.find('"') == cell.npos;
      if (quoted && closed) rest.remove_prefix(1);
      if (!closed || (!rest.empty() && rest.front() != separator_)) {
        count_ = 0;
        return false;
      }
      add_cell(cell);
      if (rest.empty()) break;
      rest.remove_prefix(1);
    }
    hand_over();
    return true;
  }

  void feed(std::string_view part) {
    if (csv_parse(&parser_, part.data(), part.size(), on_cell, on_row, this) != part.size()) {
      if (csv_error(&parser_) != CSV_EPARSE)
        throw Error::book(file_ + ": " + csv_strerror(csv_error(&parser_)) + ".");
      throw at_line(line_,
                    "a quote stands where none may; a cell with quotes is quoted whole and its "
                    "quotes are doubled.");
    }
    row_size_ = inside_row_ ? row_size_ + part.size() : 0;
    if (row_ended_)
      hand_over();
    else if (row_size_ > longest_row)
      throw at_line(start_,
                    "the row that begins here is longer than a million bytes; is a quoted cell in "
                    "it never closed?");
  }

  // Not from within libcsv, which is C and must not be unwound.
  void hand_over() {
    row_ended_ = inside_row_ = false;
    row_size_ = 0;
    cells_.resize(std::exchange(count_, 0));
    if (columns_ == 0) columns_ = cells_.size();
    if (cells_.size() != columns_)
      throw at_line(start_, "this row has " + std::to_string(cells_.size()) +
                                " cells and the header " + std::to_string(columns_) +
                                "; they must be as many.");
    use_(start_, cells_);
  }

  Error at_line(std::size_t line, const std::string& what) const {
    return Error::request(file_ + ", line " + std::to_string(line) + ": " + what);
  }

  void add_cell(std::string_view text) {
    if (count_ == cells_.size()) cells_.emplace_back();
    cells_[count_++].assign(text);
  }

  static void on_cell(void* text, std::size_t size, void* self) {
    static_cast<Parser*>(self)->add_cell({static_cast<const char*>(text), size});
  }
  static void on_row(int, void* self) { static_cast<Parser*>(self)->row_ended_ = true; }

  std::string file_;
  char separator_;
  Row use_;
  csv_parser parser_{};
  std::string beginning_;  // until it is long enough to tell the mark
  bool begun_ = false;
  std::vector<std::string> cells_;    // kept from row to row, for their memory
  std::size_t count_ = 0;             // of those that belong to the row being read
  std::size_t columns_ = 0;           // none: no row yet
  std::size_t line_ = 0, start_ = 1;  // being read, and where the row being read begins
  std::size_t row_size_ = 0;          // bytes of it so far
  bool inside_line_ = false, inside_row_ = false;  // it has begun and not ended
  bool row_ended_ = false;
  bool after_cr_ = false;
};

CsvReader::CsvReader(std::string file, char separator, Row use)
    : parser_(std::make_unique<Parser>(std::move(file), separator, std::move(use))) {}
CsvReader::~CsvReader() = default;
void CsvReader::take(std::string_view part) { parser_->take(part); }
void CsvReader::finish() { parser_->finish(); }

CsvTable CsvTable::parse(std::string_view text, std::string_view file, char separator) {
  CsvTable table;
  table.file_ = file;
  CsvReader reader(table.file_, separator, [&](std::size_t line, const auto& cells) {
    if (table.header_.empty()) {
      table.header_ = cells;
    } else {
      table.rows_.push_back(cells);
      table.lines_.push_back(line);
    }
  });
  reader.take(text);
  reader.finish();
  return table;
}

std::optional<std::size_t> CsvTable::find_column(std::string_view name) const {
  const auto found = std::find(header_.begin(), header_.end(), name);
  if (found == header_.end()) return std::nullopt;
  if (std::find(std::next(found), header_.end(), name) != header_.end())
    throw Error::request(file_ + ": two columns are named '" + std::string(name) +
                         "'; a column that is read must have a name of its own.");
  return static_cast<std::size_t>(found - header_.begin());
}

std::size_t CsvTable::column(std::string_view name) const {
  if (const auto found = find_column(name)) return *found;
  std::string names;
  for (const std::string& known : header_) names += (names.empty() ? "" : ", ") + known;
  throw Error::request(file_ + ": there is no column '" + std::string(name) + "' among: " + names +
                       ".");
}

std::string csv_field(std::string_view text) {
  // A byte order mark would be dropped at the start of a file.
  const bool plain =
      text.find_first_of(",\"\r\n") == std::string_view::npos && !text.starts_with(mark);
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

std::string sheet_record(std::span<const std::string> cells) {
  std::string record;
  for (const std::string& cell : cells) {
    if (&cell != cells.data()) record += ',';
    if (stands_as_it_is(cell))
      record += cell;
    else
      record += csv_field(sheet_cell(shown(cell)));
  }
  return record += "\r\n";
}

SheetRow& SheetRow::add(std::string_view cell) {
  if (std::exchange(begun_, true)) row_ += ',';
  row_ += cell;
  return *this;
}

SheetRow& SheetRow::text(std::string_view value) {
  return add(csv_field(sheet_cell(shown(value))));
}

SheetRow& SheetRow::scaled(std::int64_t value, int digits) {
  std::string figures = std::to_string(value < 0 ? 0 - static_cast<std::uint64_t>(value)
                                                 : static_cast<std::uint64_t>(value));
  const auto behind = static_cast<std::size_t>(digits);
  if (figures.size() <= behind) figures.insert(0, behind + 1 - figures.size(), '0');
  if (behind > 0) {
    figures.insert(figures.size() - behind, 1, '.');
    figures.erase(figures.find_last_not_of('0') + 1);
    if (figures.ends_with('.')) figures.pop_back();
  }
  return add((value < 0 ? "-" : "") + figures);
}

SheetRow& SheetRow::json(std::string_view value) {
  if (!is_utf8(value)) return text(value);  // no JSON
  const bool changed = shown(value, value.size() + 1) != value;
  std::string safe;
  for (const char16_t unit : changed ? to_utf16(value) : std::u16string())
    if (unit == u';' || unit < 0x20 || unit >= 0x7F)
      safe += fmt::format("\\u{:04x}", static_cast<unsigned>(unit));
    else
      safe += static_cast<char>(unit);
  for (const char c : changed ? std::string_view() : value)
    if (c == ';')
      safe += "\\u003b";
    else
      safe += c;
  return add(csv_field(safe));
}

std::string SheetRow::record() {
  begun_ = false;
  return std::exchange(row_, {}) + "\r\n";
}

}  // namespace trencher::exchange
