#include <fmt/format.h>

#include <optional>

#include "book/transfer.h"
#include "commands/command.h"
#include "commands/copies.h"
#include "commands/export_csv.h"
#include "commands/losses.h"
#include "commands/output_file.h"
#include "commands/papers.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

Json enter_papers(Call& call, NewFolder& folder) {
  const std::size_t count = write_papers(call, folder);
  if (!call.json())
    call.say(fmt::format("Papers: {} in {}; papers.csv lists them.",
                         count_of(static_cast<std::int64_t>(count), "file"),
                         folder.path().string()));
  return Json::object()
      .set("folder", folder.path().string())
      .set("papers", static_cast<std::int64_t>(count));
}

int export_papers(Call& call, const std::string& file, const std::string& papers) {
  if (!file.empty())
    throw Error::request("--papers does not go with '-'; name a FILE or leave it out.");
  NewFolder folder("--papers", papers);
  const Json out = enter_papers(call, folder);
  folder.keep();
  if (!call.json()) call.say_list("Mind:", mind_copy);
  return call.done(out);
}

int export_csv(Call& call, const std::string& typed) {
  NewFolder folder("--csv", typed);
  const std::vector<WrittenSheet> written = write_sheets(call, folder);
  folder.keep();
  const std::int64_t entries = call.book().entry_count();
  if (!call.json()) {
    call.say(fmt::format(
        "Sheets: {} in {}, of {}, last hash {}; readme.txt says what each column "
        "is.",
        count_of(static_cast<std::int64_t>(written.size()), "file"), folder.path().string(),
        count_of(entries, "entry", "entries"), call.book().last_hash()));
    call.say_list("Mind:", mind_copy);
  }
  Json sheets = Json::array();
  for (const WrittenSheet& sheet : written)
    sheets.push(Json::object().set("file", sheet.file).set("rows", sheet.rows));
  return call.done(Json::object()
                       .set("folder", folder.path().string())
                       .set("entries", entries)
                       .set("last_hash", call.book().last_hash())
                       .set("sheets", std::move(sheets)));
}

}  // namespace

int export_book(Call& call) {
  std::string file, papers, csv;
  bool replace = false;
  call.word("FILE", file, "to write to; - writes to the output");
  call.flag("--replace", replace, "write over a file that is there");
  call.option("--papers", "FOLDER", papers,
              "a new folder for every paper and photograph that is kept, byte for byte, with a "
              "list of them; FILE may then be left out");
  call.option("--csv", "FOLDER", csv,
              "a new folder for the whole book as tables that a spreadsheet program opens; without "
              "FILE");
  call.parse();
  if (!csv.empty()) {
    if (!file.empty() || !papers.empty() || replace)
      throw Error::request("--csv goes alone: without FILE, --papers and --replace.");
    return export_csv(call, csv);
  }
  if (!papers.empty() && (file.empty() || file == "-")) return export_papers(call, file, papers);
  call.need(file, "FILE", "File to write to");
  if (file == "-") {
    if (call.json())
      throw Error::request("--json and '-' both write to the output; give a FILE or one of them.");
    book::export_lines(call.book(), [&](std::string_view line) { call.out() << line << '\n'; });
    return 0;
  }
  file = checked_text(file, "FILE");
  refuse_existing(call, file, replace);
  std::optional<NewFolder> folder;
  if (!papers.empty()) folder.emplace("--papers", papers);
  WholeFile whole(file);
  std::string last;
  {
    Progress progress = call.progress("exporting");
    const auto of = static_cast<std::uint64_t>(entries_held(call.book()));
    std::uint64_t done = 0;
    book::export_lines(call.book(), [&](std::string_view line) {
      whole.write(line);
      whole.write("\n");
      last = line;
      progress.at(std::min(++done, of), of);
    });
  }
  // Before the file is finished: it is not to be there where they cannot be written.
  Json more = Json::object();
  if (folder) more = enter_papers(call, *folder);
  replace ? whole.finish_replacing() : whole.finish_as_new();
  if (folder) folder->keep();
  const Json trailer = Json::parse(last).at("trailer");
  return report_copy(call, "Export", file, trailer.integer("entries"), trailer.text("last_hash"),
                     mind_copy, more);
}

}  // namespace trencher::commands
