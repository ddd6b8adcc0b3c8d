#include <fmt/format.h>

#include "book/queries.h"
#include "commands/mover.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

bool is_yes(const MovingRow& row, std::string_view column) {
  const std::string cell = lower_ascii(row.cell(column));
  if (cell != "yes" && cell != "no")
    throw Error::request(fmt::format("'{}' is neither yes nor no.", brief(row.cell(column))));
  return cell == "yes";
}

// A program turns 1-3 into a date; "1 to 3" it leaves alone.
std::string pieces_list(std::string typed) {
  for (std::size_t at; (at = typed.find(" to ")) != std::string::npos;) typed.replace(at, 4, "-");
  std::erase(typed, ' ');
  return typed;
}

}  // namespace

std::optional<std::string> Mover::resolve(const MovingRow& row, std::string_view column,
                                          const std::string& label) {
  if (const auto found = labels_.find(label); found != labels_.end()) {
    const Labelled& of = found->second;
    if (!of.id.empty()) return of.id;
    const std::string where = fmt::format("{}, row {}", of.row->file->name, of.row->row);
    complain(row, column,
             failed_.contains(of.row)
                 ? fmt::format(
                       "'{}' has a problem of its own ({}), so it was not checked with this row.",
                       brief(label), where)
                 : fmt::format("'{}' comes later ({}).", brief(label), where));
    return {};
  }
  if (!book::class_of(call_.book(), label).empty() || book::find_piece(call_.book(), label))
    return label;
  std::vector<std::string> known;
  for (const auto& [name, of] : labels_) known.push_back(name);
  complain(row, column,
           fmt::format("'{}' is neither a label of these files nor an id of the book.{}",
                       brief(label), suggestion(label, known)));
  return {};
}

bool Mover::add_words(const MovingRow& row, const MovingColumn& column,
                      std::vector<std::string>& words) {
  const std::string cell = row.cell(column.name);
  const std::string option = fmt::format("--{}", column.name);
  if (cell.empty()) return true;
  if (column.takes == Takes::flag) {
    if (is_yes(row, column.name)) words.push_back(option);
  } else if (column.takes == Takes::option) {
    if (column.name != "note" && column.name != "because" && column.name != "by")
      words.push_back(option + "=" + (column.name == "pieces" ? pieces_list(cell) : cell));
  } else if (column.takes == Takes::labels || column.takes == Takes::tins) {
    const std::vector<std::string> parts = split(cell, ';');
    for (const std::string& part : parts) {
      if (part.empty()) continue;
      const std::vector<std::string> two = split(part, '=');
      const auto id = resolve(row, column.name, two.front());
      if (!id) return false;
      const std::string is = book::class_of(call_.book(), *id);
      if ((is == "wood") != (column.name == "wood") || is == "batch") {
        complain(row, column.name,
                 fmt::format("'{}' is {} ({}), no {}.", brief(two.front()),
                             is == "batch" ? "a batch" : is, *id,
                             column.name == "from" ? "tin" : column.name));
        return false;
      }
      std::string amount = two.size() > 1 ? "=" + two[1] : "";
      if (column.takes == Takes::tins && amount.empty() && parts.size() == 1 &&
          row.file->command == "log" && !row.cell("amount").empty())
        amount = "=" + row.cell("amount");
      words.push_back(option + "=" + *id + amount);
    }
  }
  return true;
}

std::optional<std::vector<std::string>> Mover::words_of(const Action& action) {
  const MovingRow& row = *action.row;
  const MovingFile& file = *row.file;
  std::vector<std::string> words;
  if (!file.what.empty()) words.emplace_back(file.what);
  if (file.command == "log") {
    words.push_back(lower_ascii(row.cell("step")));
    if (words.back().starts_with('-')) {
      complain(row, "step", fmt::format("'{}' is no step.", brief(words.back())));
      return {};
    }
  }
  for (const MovingColumn& column : file.columns)
    if (column.takes == Takes::batch) {
      const auto code = resolve(row, column.name, row.cell(column.name));
      if (!code) return {};
      words.push_back(*code);
    }
  if (action.signs_off) {
    if (!row.cell("pieces").empty()) words.push_back("--pieces=" + pieces_list(row.cell("pieces")));
    return words;
  }
  for (const MovingColumn& column : file.columns) {
    try {
      if (!add_words(row, column, words)) return {};
    } catch (const Error& failure) {
      complain(row, column.name, failure.what());
      return {};
    }
  }
  if (const std::string result = lower_ascii(row.cell("result")); !result.empty()) {
    if (result != "sound" && result != "not sound" && result != "not-sound") {
      complain(row, "result", fmt::format("'{}' is neither sound nor not sound.", brief(result)));
      return {};
    }
    words.emplace_back(result == "sound" ? "--sound" : "--not-sound");
  }
  if (file.command == "log" && !row.cell("amount").empty() &&
      (row.cell("from").empty() || split(row.cell("from"), ';').size() > 1)) {
    complain(row, "amount", "it goes with one tin in the column from.");
    return {};
  }
  if (file.command == "give" && row.cell("to").empty()) words.emplace_back("--to-stranger");
  const bool is_tin = (file.command == "receive" && file.what != "wood") || file.command == "mix";
  if (is_tin && row.cell("name").empty() && row.cell("product").empty())
    words.push_back("--name=" + row.cell("label"));
  return words;
}

}  // namespace trencher::commands
