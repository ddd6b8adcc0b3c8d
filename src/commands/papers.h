// The papers that the book keeps: what suppliers say, their notices, and photographs.
#pragma once

#include <string>
#include <vector>

#include "commands/call.h"
#include "commands/new_folder.h"
#include "domain/records.h"

namespace trencher::commands {

// Error::request where the paper's members contradict one another: past before it was dated, the
// origin of what is no wood lot.
void demand_consistent(Call& call, const Statement& said);

// Error::request with near matches where no paper can be about `id`: a tin, thing, wood lot or
// product, no mix.
void need_paper_subject(Call& call, const std::string& id);
// What it says, a line each.
void say_said(Call& call, const Statement& said);
// The name of a file behind its mark, `after` behind that; a name too long for a line is broken.
void say_file(Call& call, const std::string& mark, std::string name, const std::string& after);

// `trencher statement show`.
int show_statements(Call& call);

// A file of the vault as an entry names it.
struct KeptFile {
  std::int64_t entry = 0;
  std::string kind, about;  // of the entry; what it is about, as F1
  std::string name, sha256;
};
// Every one, by entry; struck entries keep theirs.
std::vector<KeptFile> kept_files(Call& call);
// Its bytes. Error::book where they are not there or are not what was kept.
std::string need_kept(Call& call, std::int64_t entry, const std::string& sha256);

// A name that every file system takes and that leads nowhere: "12-notice.pdf".
std::string safe_name(const KeptFile& file);

// `trencher export --papers`: every kept file and papers.csv into the folder, each file's SHA-256
// checked. Returns how many files.
std::size_t write_papers(Call& call, NewFolder& folder);

}  // namespace trencher::commands
