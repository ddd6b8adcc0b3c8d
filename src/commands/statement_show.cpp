#include <fmt/format.h>

#include "book/queries.h"
#include "commands/amend.h"
#include "commands/output_file.h"
#include "commands/papers.h"
#include "commands/shop.h"
#include "domain/atomic_file.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

bool is_entry(const std::string& typed) {
  return typed.find_first_not_of("0123456789") == std::string::npos;
}

Statement statement_of(Call& call, const std::string& typed) {
  const book::Effective found = need_entry(call, typed);
  if (found.entry.kind != "statement")
    throw Error::request(
        fmt::format("Entry {} is no statement but of the kind '{}'.", typed, found.entry.kind));
  if (found.struck_by)
    throw Error::request(fmt::format("Entry {} was struck by entry {}.", typed, *found.struck_by));
  Statement out = Statement::read(found.body);
  out.entry = found.entry.number;
  out.at = found.happened;
  return out;
}

// On a tin, those of its version of its product too.
std::vector<Statement> statements_about(Call& call, const std::string& typed) {
  if (is_entry(typed)) return {statement_of(call, typed)};
  need_paper_subject(call, typed);
  const auto tin = book::find_tin(call.book(), typed);
  if (!tin) return book::statements_on(call.book(), {typed});
  std::vector<Statement> out = book::statements_on(call.book(), {tin->id, tin->product});
  std::erase_if(out, [&](const Statement& said) { return !is_about(said, *tin); });
  return out;
}

struct Shown {
  Statement said;
  bool past = false;
  std::optional<std::size_t> size;  // of the file
};

Shown shown(Call& call, Statement said) {
  Shown out{std::move(said)};
  const Day today = local_day(call.zone().moment(call.now()));
  out.past = out.said.valid_until && *out.said.valid_until < today;
  if (!out.said.file_sha256.empty())
    out.size = need_kept(call, out.said.entry, out.said.file_sha256).size();
  return out;
}

Json json_of(const Shown& one) {
  const Statement& said = one.said;
  const auto day = [](const std::optional<Day>& of) { return of ? Json(iso(*of)) : Json(); };
  Json out = Json::object();
  out.set("entry", said.entry).set("at", iso(said.at)).set("subject", said.subject);
  if (said.version) out.set("version", said.version);
  out.set("about", said.about).set("market", said.market);
  out.set_or_null("dated", day(said.dated)).set_or_null("valid_until", day(said.valid_until));
  out.set("past", one.past).set("reference", said.reference);
  out.set("contains", Json::list(said.contains));
  out.set("declares_none", Json::list(said.declares_none));
  out.set("ingredients", Json::list(said.ingredients)).set("complete", said.complete);
  if (!one.size) return out;
  out.set("file_name", said.file_name).set("file_size", static_cast<std::int64_t>(*one.size));
  return out.set("file_sha256", said.file_sha256);
}

void print(Call& call, const Shown& one) {
  const Statement& said = one.said;
  call.say(fmt::format("Entry {}, {}: about {} of {}{}{}.", said.entry, show(said.at), said.about,
                       said.subject, said.version ? fmt::format(", version {}", said.version) : "",
                       said.market.empty() ? "" : ", for the market " + said.market));
  if (said.dated) call.say_list("  Dated:", show(*said.dated) + ".");
  if (said.valid_until)
    call.say_list("  Valid until:", show(*said.valid_until) + (one.past ? "; that is past." : "."));
  if (!said.reference.empty()) call.say_list("  Reference:", said.reference + ".");
  say_said(call, said);
  if (one.size)
    say_file(call, "  File:", said.file_name,
             fmt::format(", {} bytes, SHA-256 {}", *one.size, said.file_sha256));
}

// The one file among them.
const Statement& need_file(const std::vector<Shown>& all, const std::string& typed) {
  std::vector<std::string> entries;
  const Statement* found = nullptr;
  for (const Shown& one : all)
    if (one.size) {
      found = &one.said;
      entries.push_back(std::to_string(one.said.entry));
    }
  if (!found)
    throw Error::request(
        fmt::format("No file is kept with a statement of '{}', so there is none to write.", typed));
  if (entries.size() > 1)
    throw Error::request(
        fmt::format("-o writes one file, and the entries {} keep one each; name one of them.",
                    join_words(entries)));
  return *found;
}

}  // namespace

int show_statements(Call& call) {
  std::string typed, file;
  bool replace = false;
  call.word("ID", typed, "tin, thing, wood lot or product, as F1, or the entry of a statement");
  call.option("-o", "FILE", file, "write the paper that is kept with it, byte for byte");
  call.flag("--replace", replace, "write over a file that is there");
  call.parse();
  call.need(typed, "ID", "Whose papers, as F1, or which entry");
  std::vector<Shown> all;
  for (Statement& said : statements_about(call, typed)) all.push_back(shown(call, std::move(said)));
  if (!file.empty()) {
    const Statement& said = need_file(all, typed);
    const std::filesystem::path path = checked_text(file, "-o");
    refuse_existing(call, path, replace);
    write_file_whole(path, need_kept(call, said.entry, said.file_sha256));
  }
  Json out = Json::array();
  for (const Shown& one : all) {
    if (call.json())
      out.push(json_of(one));
    else
      print(call, one);
  }
  if (!call.json() && all.empty()) call.say(fmt::format("No statement on {}.", typed));
  if (!call.json() && !file.empty()) call.say(fmt::format("Written to {}.", file));
  return call.done(out);
}

}  // namespace trencher::commands
