// The files of `trencher export --csv`.
#pragma once

#include <string>
#include <string_view>

#include "book/queries.h"
#include "commands/call.h"
#include "commands/sheets.h"
#include "domain/atomic_file.h"
#include "exchange/csv.h"

namespace trencher::commands {

// A column of a sheet whose rows are no entries.
struct PlainColumn {
  std::string_view name, says;
};

class SheetFile {
 public:
  SheetFile(const std::filesystem::path& folder, std::string_view name)
      : file_(folder / name), name_(name) {}

  exchange::SheetRow& row() { return row_; }
  void end_row() {
    file_.write(row_.record());
    ++rows_;
  }
  void finish() { file_.finish_as_new(); }
  const std::string& name() const { return name_; }
  std::int64_t rows() const { return rows_ - 1; }  // below the names of the columns

 private:
  WholeFile file_;
  std::string name_;
  exchange::SheetRow row_;
  std::int64_t rows_ = 0;
};

// The columns that every sheet of entries has before and behind its own.
std::vector<PlainColumn> columns_before(const EntrySheet& sheet);
const std::vector<PlainColumn>& columns_behind();

void write_head(const EntrySheet& sheet, SheetFile& file);
// The rows of an entry of one of the sheet's kinds.
void write_entry(Call& call, const EntrySheet& sheet, const book::Effective& entry,
                 SheetFile& file);

}  // namespace trencher::commands
