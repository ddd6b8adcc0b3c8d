#include "commands/papers.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/shop.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"
#include "exchange/csv.h"

namespace trencher::commands {
namespace {

namespace fs = std::filesystem;

constexpr std::size_t longest_name = 120;  // bytes; file systems take 255

// What a path, a shell or a spreadsheet's owner could stumble over, and what does not print.
bool is_harmless(char c) {
  const auto byte = static_cast<unsigned char>(c);
  return byte > 0x20 && byte != 0x7F &&
         std::string_view("/\\:*?\"<>|'`$&;").find(c) == std::string_view::npos;
}

// Whole characters from the end, at most `most` bytes of them: the ending tells what a file is.
std::string tail(const std::string& text, std::size_t most) {
  if (text.size() <= most) return text;
  std::size_t at = text.size() - most;
  while (at < text.size() && (static_cast<unsigned char>(text[at]) & 0xC0) == 0x80) ++at;
  return text.substr(at);
}

std::string names(const std::vector<std::string>& ids) {
  std::vector<std::string> out;
  for (const std::string& id : ids) out.push_back(allergen_name(id));
  return join(out, "; ");
}

// Letters of any language, but nothing that steers a terminal or turns the direction of writing.
bool prints(const std::string& name) {
  try {
    checked_text(name, "The name");
    return true;
  } catch (const Error&) {
    return false;
  }
}

}  // namespace

void demand_consistent(Call& call, const Statement& said) {
  if (said.dated && said.valid_until && *said.valid_until < *said.dated)
    throw Error::request(fmt::format("--valid-until '{}' lies before --dated '{}'.",
                                     iso(*said.valid_until), iso(*said.dated)));
  if (said.about == "origin" && book::class_of(call.book(), said.subject) != "wood")
    throw Error::request(
        fmt::format("--about origin goes with a wood lot; {} is none.", said.subject));
}

void need_paper_subject(Call& call, const std::string& id) {
  const book::Book& book = call.book();
  const std::vector<std::string> classes{"product", "finish", "glue", "other", "wood"};
  if (std::find(classes.begin(), classes.end(), book::class_of(book, id)) != classes.end()) {
    if (const auto tin = book::find_tin(book, id); tin && !tin->mixed_from.empty())
      throw Error::request(
          fmt::format("{} was mixed here; papers belong to the tins that it was mixed from.", id));
    return;
  }
  std::vector<std::string> known;
  for (const std::string& class_name : classes)
    for (std::string& of_class : book::ids_of_class(book, class_name))
      known.push_back(std::move(of_class));
  Call::check_known(id, "Tin, wood lot or product", known, from_receive);
}

void say_file(Call& call, const std::string& mark, std::string name, const std::string& after) {
  constexpr std::size_t most = 60;  // columns, so that the mark fits beside them
  std::string before = mark;
  while (display_width(name) > most) {
    std::size_t bytes = 0;
    for (std::size_t end = 1; end <= name.size(); ++end) {
      const bool whole =
          end == name.size() || (static_cast<unsigned char>(name[end]) & 0xC0) != 0x80;
      if (!whole) continue;
      if (bytes > 0 && display_width(name.substr(0, end)) > most) break;
      bytes = end;
    }
    call.say_list(before, name.substr(0, bytes));
    name.erase(0, bytes);
    before = std::string(display_width(mark), ' ');
  }
  call.say_list(before, name + after);
}

void say_said(Call& call, const Statement& said) {
  if (!said.contains.empty()) call.say_list("  Contains:", names(said.contains) + ".");
  if (!said.declares_none.empty())
    call.say_list("  Declares none of:", names(said.declares_none) + ".");
  if (!said.ingredients.empty())
    call.say_list("  Ingredients:", join(said.ingredients, "; ") + ".");
  if (said.about != "ingredients" && said.about != "allergens") return;
  call.say_list("  List:",
                said.complete
                    ? "complete, as the paper says."
                    : "not marked complete, so that it says of nothing else that it is absent.");
}

std::vector<KeptFile> kept_files(Call& call) {
  std::vector<KeptFile> out;
  call.book().each_entry([&](const book::Entry& entry) {
    const Json body = book::parse_body(entry.body);
    const auto add = [&](const auto& of, const std::string& about) {
      if (!of.file_sha256.empty())
        out.push_back({entry.number, entry.kind, about, of.file_name, of.file_sha256});
    };
    if (entry.kind == "statement") {
      const Statement said = Statement::read(body);
      add(said, said.subject);
    } else if (entry.kind == "withdraw") {
      const Withdrawal word = Withdrawal::read(body);
      add(word, join(word.ids, " "));
    } else if (entry.kind == "photograph") {
      const Photograph picture = Photograph::read(body);
      add(picture, picture.batch);
    }
  });
  return out;
}

std::string need_kept(Call& call, std::int64_t entry, const std::string& sha256) {
  auto bytes = call.book().file(sha256);
  if (!bytes)
    throw Error::book(
        fmt::format("The book lacks the file of entry {}; 'trencher verify' says "
                    "what else is amiss.",
                    entry));
  if (sha256_hex(*bytes) != sha256)
    throw Error::book(
        fmt::format("The file of entry {} is not what was kept: its SHA-256 is not "
                    "that of the journal.",
                    entry));
  return std::move(*bytes);
}

std::string safe_name(const KeptFile& file) {
  std::string name = file.name;
  for (char& c : name)
    if (!is_harmless(c)) c = '_';
  if (!prints(name))
    for (char& c : name)
      if (static_cast<unsigned char>(c) >= 0x80) c = '_';
  name = tail(name, longest_name);
  name.erase(0, std::min(name.find_first_not_of("._-"), name.size()));
  while (name.ends_with('.')) name.pop_back();
  return fmt::format("{}-{}", file.entry, name.empty() ? "paper" : name);
}

std::size_t write_papers(Call& call, NewFolder& folder) {
  const fs::path& staged = folder.staged();
  const std::vector<KeptFile> files = kept_files(call);
  const std::vector<std::string> head{"entry", "kind", "about", "file", "name_given", "sha256"};
  std::string list = exchange::sheet_record(head);
  for (const KeptFile& file : files) {
    const std::string name = safe_name(file);
    write_file_whole(staged / name, need_kept(call, file.entry, file.sha256));
    list += exchange::sheet_record(std::vector<std::string>{
        std::to_string(file.entry), file.kind, file.about, name, file.name, file.sha256});
  }
  write_file_whole(staged / "papers.csv", list);
  folder.finish();
  return files.size();
}

}  // namespace trencher::commands
