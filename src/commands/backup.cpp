#include "book/transfer.h"
#include "commands/command.h"
#include "commands/copies.h"
#include "commands/losses.h"
#include "domain/text.h"

namespace trencher::commands {

int backup(Call& call) {
  std::string file;
  call.word("FILE", file, "to copy the book to; it must not exist");
  call.parse();
  call.need(file, "FILE", "File to copy the book to");
  file = checked_text(file, "FILE");
  {
    Progress progress = call.progress("copying the book");
    book::backup(call.book(), file, [&](std::int64_t done, std::int64_t of) {
      progress.at(static_cast<std::uint64_t>(done), static_cast<std::uint64_t>(of));
    });
  }
  // Told from the copy: it opens, and others may have written in the book since.
  const book::Book copy = book::Book::open(file);
  return report_copy(call, "Backup", file, entries_held(copy), copy.last_hash(), mind_copy);
}

}  // namespace trencher::commands
