#include <fmt/format.h>

#include "book/transfer.h"
#include "commands/command.h"
#include "commands/copies.h"
#include "commands/import_csv.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

int import_book(Call& call) {
  std::string file;
  MovingIn moving;
  call.word("FILE", file, "that 'trencher export' wrote; the book must not exist yet");
  call.option("--csv", "FOLDER", moving.folder,
              "in place of FILE: old sheets (docs/moving.md), into the book that is there; all of "
              "them or nothing");
  call.flag("--dry-run", moving.dry_run, "with --csv: only list what is wrong, row by row");
  call.option("--because", "TEXT", moving.because,
              "with --csv: the reason for every row where a stop stands and that gives none");
  call.option("--by", "WORKER", moving.by, "with --csv: who wrote the rows that do not say so");
  call.parse();
  if (!moving.folder.empty()) {
    if (!file.empty())
      throw Error::request(
          fmt::format("Either FILE ('{}') or --csv: an export makes a book of its own.", file));
    if (!moving.because.empty()) moving.because = checked_text(moving.because, "--because");
    return import_csv(call, moving);
  }
  if (moving.dry_run || !moving.because.empty() || !moving.by.empty())
    throw Error::request("--dry-run, --because and --by go with --csv.");
  call.need(file, "FILE", "File to import");
  std::int64_t entries = 0;
  {
    Progress progress = call.progress("importing");
    entries = book::import_lines(file, call.book_path(), [&](std::int64_t done, std::int64_t of) {
      progress.at(static_cast<std::uint64_t>(done), static_cast<std::uint64_t>(of));
    });
  }
  return report_copy(call, "Imported", call.book_path(), entries, call.book().last_hash(),
                     mind_book);
}

}  // namespace trencher::commands
