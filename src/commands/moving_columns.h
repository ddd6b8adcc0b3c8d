// The files and columns that `trencher import --csv` takes, in the words of the commands' options.
// docs/moving.md tells them to people.
#pragma once

#include <string>
#include <string_view>
#include <vector>

namespace trencher::commands {

enum class Takes {
  option,  // what the option of that name takes
  flag,    // yes or no: the option stands there or not
  label,   // the maker's own word for the thing
  when,    // a day or a moment
  labels,  // labels of one stock or ids, ';' between them: the option repeated
  tins,    // the same with what was taken: 'tin 3=40ml; tin 4'
  batch,   // label or code of a batch, or code of a piece
  own,     // something that import_csv.cpp reads
};

struct MovingColumn {
  std::string_view name;
  Takes takes = Takes::option;
  bool required = false;
  // A value that is fine wherever it stands: in its place the others of a row are looked at where
  // its own is missing or wrong.
  std::string_view stand_in = {};
};

struct MovingFile {
  std::string_view name;
  std::string_view command;  // that enters a row
  std::string_view what;     // its first word, where it is always the same
  std::vector<MovingColumn> columns;
  bool day_begins = false;  // a day alone is its beginning; else its noon
};

// In the order in which rows of one moment are entered.
const std::vector<MovingFile>& moving_files();
std::vector<std::string> names_of_columns(const MovingFile& file);

}  // namespace trencher::commands
