// Reads the folder of `trencher import --csv` into rows. What is wrong is gathered, not thrown.
#pragma once

#include <cstdint>
#include <filesystem>
#include <map>
#include <string>
#include <string_view>
#include <vector>

#include "commands/moving_columns.h"

namespace trencher::commands {

struct MovingProblem {
  std::string file;
  std::int64_t row = 0;  // as a spreadsheet program counts, the names of the columns being 1; 0:
                         // the file
  std::string column;    // empty: no one column
  std::string what;      // a sentence
  std::string text() const;
};

struct MovingRow {
  const MovingFile* file = nullptr;
  std::int64_t row = 0;
  bool whole = true;                                      // nothing was wrong in reading it
  std::map<std::string, std::string, std::less<>> cells;  // by column; blank ones are absent
  std::string cell(std::string_view column) const;
  MovingProblem problem(std::string_view column, const std::string& what) const;
  // Of what makes it this row and no other, without people and remarks: known again when it comes
  // a second time.
  std::string digest() const;
};

// One file's text.
std::vector<MovingRow> read_moving_text(const MovingFile& file, std::string_view bytes,
                                        std::vector<MovingProblem>& problems);

// Every file of the folder. Error::request where it is no folder or holds none of the files.
std::vector<MovingRow> read_moving_folder(const std::filesystem::path& folder,
                                          std::vector<MovingProblem>& problems);

}  // namespace trencher::commands
