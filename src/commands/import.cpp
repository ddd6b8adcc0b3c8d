#include "book/transfer.h"
#include "commands/command.h"
#include "commands/copies.h"

namespace trencher::commands {

int import_book(Call& call) {
  std::string file;
  call.word("FILE", file, "that 'trencher export' wrote; the book must not exist yet");
  call.parse();
  call.need(file, "FILE", "File to import");
  const std::int64_t entries = book::import_lines(file, call.book_path());
  return report_copy(call, "Imported", call.book_path(), entries, call.book().last_hash(),
                     mind_book);
}

}  // namespace trencher::commands
