// `trencher export --csv`: the whole book as sheets for a spreadsheet program.
#pragma once

#include "commands/call.h"
#include "commands/new_folder.h"

namespace trencher::commands {

struct WrittenSheet {
  std::string file;
  std::int64_t rows = 0;  // below the names of the columns
};

// Fills the folder, which has its name afterwards. Row by row: no more than an entry is held.
std::vector<WrittenSheet> write_sheets(Call& call, NewFolder& folder);

}  // namespace trencher::commands
