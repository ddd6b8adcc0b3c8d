// The sheet for the stall: every piece that may be sold, with boxes to tick while it is, and what a
// buyer who leaves a name is told of it first. It is entered in the book afterwards.
#pragma once

#include <chrono>
#include <filesystem>
#include <string>
#include <vector>

#include "paper/size.h"

namespace trencher::paper {

struct StallRow {
  std::string code;  // "26-014-03-24"
  std::string what;  // "Cutting board, 400 × 250 × 22 mm, hard maple"
};

// All texts come already in the language.
struct StallSheetContent {
  std::string language = "en";  // en, de, fr, es
  std::string event, day;       // empty: a line to fill in
  std::string maker, contact;
  std::vector<StallRow> rows;
};

struct StallSheetOptions {
  Size sheet = a4;
  std::chrono::sys_seconds made_at{};  // becomes the file's creation date; same input, same bytes
};

// One PDF file, which is either whole or untouched. Error request: no row, an unknown language, a
// text that cannot be printed. Error book: the font or the file.
void write_stall_sheet(const StallSheetContent& content, const StallSheetOptions& options,
                       const std::filesystem::path& path);

}  // namespace trencher::paper
