#include "commands/moving_read.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <optional>
#include <set>

#include "commands/input_file.h"
#include "domain/error.h"
#include "domain/text.h"
#include "exchange/csv.h"

namespace trencher::commands {
namespace {

constexpr std::size_t most_megabytes = 50;

// "Best before" is best-before.
std::string column_name(std::string_view typed) {
  std::string out = lower_ascii(typed);
  for (char& c : out)
    if (c == ' ' || c == '_') c = '-';
  while (out.starts_with('-')) out.erase(0, 1);
  while (out.ends_with('-')) out.pop_back();
  return out;
}

std::string trimmed(std::string_view cell) {
  const std::size_t first = cell.find_first_not_of(" \t\r\n");
  if (first == std::string_view::npos) return {};
  return std::string(cell.substr(first, cell.find_last_not_of(" \t\r\n") - first + 1));
}

// That which stands most often in the first line outside quotes.
char separator_of(std::string_view text) {
  std::array<std::pair<char, int>, 3> counts{{{',', 0}, {';', 0}, {'\t', 0}}};
  bool quoted = false;
  for (const char c : text) {
    if (c == '"') quoted = !quoted;
    if (!quoted && (c == '\n' || c == '\r')) break;
    for (auto& [separator, count] : counts)
      if (!quoted && c == separator) ++count;
  }
  const auto most = [](const auto& a, const auto& b) { return a.second < b.second; };
  return std::max_element(counts.begin(), counts.end(), most)->first;
}

std::int64_t line_ends(std::string_view cell) {
  std::int64_t out = 0;
  for (std::size_t i = 0; i < cell.size(); ++i)
    if (cell[i] == '\n' || (cell[i] == '\r' && cell.substr(i + 1, 1) != "\n")) ++out;
  return out;
}

// What a program that knows no UTF-8 wrote; nothing where it is UTF-8.
std::optional<std::string> wrong_encoding(std::string_view bytes) {
  const char* save = "save it as CSV in UTF-8.";
  if (bytes.starts_with("\xFF\xFE") || bytes.starts_with("\xFE\xFF"))
    return fmt::format("the file is in UTF-16; {}", save);
  if (bytes.starts_with("PK"))
    return fmt::format("the file is a spreadsheet program's own, no CSV; {}", save);
  if (is_utf8(bytes)) return {};
  std::int64_t line = 1;
  for (std::size_t at = 0; at < bytes.size();) {
    const std::size_t end = std::min(bytes.find('\n', at), bytes.size());
    if (!is_utf8(bytes.substr(at, end - at))) break;
    at = end + 1;
    ++line;
  }
  return fmt::format("the file is not in UTF-8 (line {} shows it first); {}", line, save);
}

class Reader {
 public:
  Reader(const MovingFile& file, std::vector<MovingProblem>& problems)
      : file_(file), problems_(problems) {}

  std::vector<MovingRow> read(std::string_view bytes) {
    if (const auto wrong = wrong_encoding(bytes)) {
      complain(0, "", *wrong);
      return {};
    }
    try {
      const auto use = [&](std::size_t line, const auto& cells) { take(line, cells); };
      exchange::CsvReader reader(std::string(file_.name), separator_of(bytes), use);
      reader.take(bytes);
      reader.finish();
    } catch (const Error& failure) {
      std::string said = failure.what();
      if (const std::string head = fmt::format("{}, ", file_.name); said.starts_with(head))
        said.erase(0, head.size());
      complain(0, "", said + " What stands behind it was not read.");
    }
    return std::move(rows_);
  }

 private:
  void complain(std::int64_t row, std::string_view column, const std::string& what) {
    problems_.push_back({std::string(file_.name), row, std::string(column), what});
  }

  void take(std::size_t line, const std::vector<std::string>& cells) {
    // A cell may hold line ends, which are no rows.
    const std::int64_t row = static_cast<std::int64_t>(line) - lines_in_cells_;
    for (const std::string& cell : cells) lines_in_cells_ += line_ends(cell);
    if (columns_.empty())
      take_head(row, cells);
    else
      take_row(row, cells);
  }

  void take_head(std::int64_t row, const std::vector<std::string>& cells) {
    const std::vector<std::string> known = names_of_columns(file_);
    for (const std::string& cell : cells) {
      const std::string name = column_name(trimmed(cell));
      if (name.empty())
        ;  // a column without a name must be blank
      else if (std::find(known.begin(), known.end(), name) == known.end())
        complain(row, brief(cell),
                 fmt::format("there is no such column.{} It takes: {}.", suggestion(name, known),
                             join(known, ", ")));
      else if (std::find(columns_.begin(), columns_.end(), name) != columns_.end())
        complain(row, name, "two columns have this name.");
      columns_.push_back(name);
    }
    for (const MovingColumn& column : file_.columns)
      if (column.required &&
          std::find(columns_.begin(), columns_.end(), column.name) == columns_.end())
        complain(row, column.name, "the column is missing, and every row needs it.");
  }

  void take_row(std::int64_t row, const std::vector<std::string>& cells) {
    MovingRow out{&file_, row, true, {}};
    for (std::size_t i = 0; i < cells.size(); ++i) {
      const std::string cell = trimmed(cells[i]);
      if (cell.empty()) continue;
      if (columns_[i].empty())
        complain(row, fmt::format("{}", i + 1),
                 fmt::format("'{}' stands in a column without a name.", brief(cell)));
      else
        out.cells.emplace(columns_[i], cell);
    }
    if (out.cells.empty()) return;
    for (const MovingColumn& column : file_.columns) {
      if (!column.required || out.cells.contains(column.name)) continue;
      out.whole = false;
      if (std::find(columns_.begin(), columns_.end(), column.name) != columns_.end())
        complain(row, column.name, "nothing stands here, and every row needs it.");
    }
    rows_.push_back(std::move(out));
  }

  const MovingFile& file_;
  std::vector<MovingProblem>& problems_;
  std::vector<std::string> columns_;
  std::vector<MovingRow> rows_;
  std::int64_t lines_in_cells_ = 0;
};

}  // namespace

std::string MovingProblem::text() const {
  std::string where = file;
  if (row > 0) where += fmt::format(", row {}", row);
  if (!column.empty()) where += fmt::format(", column {}", column);
  return fmt::format("{}: {}", where, what);
}

std::string MovingRow::cell(std::string_view column) const {
  const auto found = cells.find(column);
  return found == cells.end() ? "" : found->second;
}

MovingProblem MovingRow::problem(std::string_view column, const std::string& what) const {
  return {std::string(file->name), row, std::string(column), what};
}

std::string MovingRow::digest() const {
  std::string text = std::string(file->name) + '\n';
  for (const auto& [column, cell] : cells)
    if (column != "for" && column != "to" && column != "contact" && column != "note" &&
        column != "because" && column != "by")
      text += fmt::format("{}={}\n", column, cell);
  return sha256_hex(text);
}

std::vector<MovingRow> read_moving_text(const MovingFile& file, std::string_view bytes,
                                        std::vector<MovingProblem>& problems) {
  return Reader(file, problems).read(bytes);
}

std::vector<MovingRow> read_moving_folder(const std::filesystem::path& folder,
                                          std::vector<MovingProblem>& problems) {
  std::error_code failed;
  if (!std::filesystem::is_directory(folder, failed))
    throw Error::request(fmt::format("--csv '{}' is no folder.", folder.string()));
  std::vector<std::string> known;
  for (const MovingFile& file : moving_files()) known.emplace_back(file.name);
  std::vector<MovingRow> out;
  bool any = false;
  for (const MovingFile& file : moving_files()) {
    const std::filesystem::path path = folder / file.name;
    if (!std::filesystem::exists(path, failed)) continue;
    any = true;
    try {
      const std::string bytes = read_input(path, most_megabytes).bytes;
      for (MovingRow& row : read_moving_text(file, bytes, problems)) out.push_back(std::move(row));
    } catch (const Error& failure) {
      if (failure.kind() != Error::Kind::request) throw;
      problems.push_back({std::string(file.name), 0, "", failure.what()});
    }
  }
  std::filesystem::directory_iterator files(folder, failed);
  if (failed)
    throw Error::request(
        fmt::format("--csv '{}' cannot be read: {}.", folder.string(), failed.message()));
  std::set<std::string> names;
  for (const auto& file : files) names.insert(file.path().filename().string());
  for (const std::string& name : names)
    if (lower_ascii(name).ends_with(".csv") &&
        std::find(known.begin(), known.end(), name) == known.end())
      problems.push_back({brief(name), 0, "",
                          fmt::format("no such file is taken.{} It takes: {}.",
                                      suggestion(name, known), join(known, ", "))});
  if (!any)
    throw Error::request(fmt::format("--csv '{}' holds none of the files that are taken: {}.",
                                     folder.string(), join(known, ", ")));
  return out;
}

}  // namespace trencher::commands
