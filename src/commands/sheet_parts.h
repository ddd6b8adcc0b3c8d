// The parts of the table of sheets: for sheets.cpp and sheets_*.cpp alone.
#pragma once

#include <vector>

#include "commands/sheets.h"

namespace trencher::commands {

inline constexpr SheetColumn batch{"batch", Form::text, "batch", "the batch, as 26-014"};
inline constexpr SheetColumn pieces{"pieces", Form::pieces, "pieces",
                                    "numbers of its boards; all: the whole batch"};
inline constexpr SheetColumn made_wrong{
    "made_wrong", Form::json, "affected",
    "what it changed about boards that were signed off or had left"};
inline constexpr SheetColumn file_name{"file_name", Form::text, "file_name",
                                       "name of the paper that is kept"};
inline constexpr SheetColumn file_sha256{"file_sha256", Form::text, "file_sha256",
                                         "SHA-256 of that paper"};

// What went in, a row for each tin.
inline std::vector<SheetColumn> with_drawn(std::vector<SheetColumn> columns) {
  const std::vector<SheetColumn> drawn{
      {"tin", Form::text, "*tin", "what was taken from, a row for each"},
      {"used_ml", Form::thousand, "*amount_ul", "how much of it, by volume"},
      {"used_g", Form::thousand, "*amount_mg", "how much of it, by mass"},
      {"estimated", Form::yes, "*estimated", "reckoned from the area, not measured"}};
  columns.insert(columns.end(), drawn.begin(), drawn.end());
  return columns;
}

std::vector<EntrySheet> stock_sheets();
std::vector<EntrySheet> work_sheets();
std::vector<EntrySheet> leaving_sheets();

}  // namespace trencher::commands
