#include <fmt/format.h>

#include <chrono>

#include "commands/choices.h"
#include "commands/command.h"
#include "commands/losses.h"
#include "commands/printed_text.h"
#include "commands/recall_folder.h"
#include "commands/recall_papers.h"
#include "commands/recall_progress.h"
#include "commands/recall_sheets.h"
#include "commands/softening.h"
#include "domain/error.h"
#include "domain/text.h"
#include "paper/language.h"

namespace trencher::commands {
namespace {

const std::vector<std::string> remedy_ids{"repair", "replacement", "refund"};

struct Typed {
  std::vector<std::string> words;
  SupplyOptions supply;
  std::string output, sheet = "a4";
  RecallWords papers;
};

void declare(Call& call, Typed& typed) {
  call.words("ID", typed.words,
             "what is withdrawn, as F1 or W1, or the entry of a withdrawal; or first: status, "
             "reached, no-answer, destroyed, close");
  typed.supply.declare(call);
  call.option("-o", "FOLDER", typed.output, "the folder to write");
  call.option("--risk", "TEXT", typed.papers.risk, "for the notices: what can happen, to whom");
  call.option("--do", "TEXT", typed.papers.to_do, "for the notices: what to do with the board");
  call.list("--remedy", "REMEDY", typed.papers.remedies,
            join(remedy_ids, ", ") + ": what you offer");
  call.list("--language", "LANGUAGE", typed.papers.languages,
            join(paper::languages(), ", ") + ": of the notices, a page each");
  call.option("--paper", "a4|letter", typed.sheet, "sheet to print on");
  call.flag("--practice", typed.papers.practice,
            "try it out, withdrawn or not: nothing is entered");
}

void check(Call& call, Typed& typed) {
  typed.supply.check(typed.words);
  if (!typed.supply.given()) call.need(typed.words, "ID", "What is withdrawn");
  RecallWords& papers = typed.papers;
  papers.remedies = known_values(papers.remedies, "Remedy", remedy_ids);
  papers.languages = known_values(papers.languages, "Language", paper::languages());
  if (papers.languages.empty()) papers.languages = {"en"};
  papers.sheet = paper::sheet_size(typed.sheet);
  if (!papers.risk.empty()) papers.risk = checked_text(papers.risk, "--risk");
  if (!papers.to_do.empty()) papers.to_do = checked_text(papers.to_do, "--do");
}

// What the notices would print of the maker's own words, and should not.
std::vector<engine::Finding> findings_on(Call& call, const RecallCase& of,
                                         const RecallWords& papers) {
  std::vector<PrintedText> told{{"--risk", papers.risk}, {"--do", papers.to_do}};
  for (const Withdrawal& word : of.scope.words)
    told.emplace_back(fmt::format("Entry {}", word.entry), word.why);
  std::vector<engine::Finding> out;
  for (const auto& [about, text] : told)
    for (engine::Finding& finding : softening_findings(about, text))
      out.push_back(std::move(finding));
  const Workshop& shop = call.settings();
  told.insert(told.end(), {{"the maker's name", shop.maker},
                           {"the maker's address", shop.address},
                           {"the maker's contact", shop.contact}});
  const std::vector<std::string> things = withdrawn_in_words(call, of.scope.ids);
  for (std::size_t i = 0; i < things.size(); ++i) told.emplace_back(of.scope.ids[i], things[i]);
  for (engine::Finding& finding : claims_in_print(told, true)) out.push_back(std::move(finding));
  return out;
}

// Returns the names of the files.
std::vector<std::string> write_folder(Call& call, const RecallCase& of, const Typed& typed,
                                      const std::vector<engine::Finding>& findings) {
  const RecallWords& papers = typed.papers;
  RecallFolder folder(checked_text(typed.output, "-o"));
  folder.write("pieces.csv", pieces_sheet(call, of.pieces, papers.practice));
  folder.write("people.csv", people_sheet(call, of.people, papers.practice));
  write_notices(call, of, papers, folder);
  const std::vector<std::string> files = folder.names();
  folder.write("summary.txt", recall_summary(call, of, papers, findings, files));
  folder.finish();
  return folder.names();
}

Json codes_of(const RecallCase& of) {
  Json out = Json::array();
  for (const RecalledPiece& piece : of.pieces) out.push(piece.piece.code);
  return out;
}

void say_alike(Call& call, const RecallScope& scope) {
  for (const Supply& alike : scope.alike)
    call.say_list("Looks alike, not among them:", supply_words(alike) + ".");
}

int practise(Call& call, const Typed& typed) {
  const auto began = std::chrono::steady_clock::now();
  const RecallCase of = recall_case(call, recall_scope(call, typed.words, typed.supply, true));
  std::vector<std::string> files;
  const auto findings = findings_on(call, of, typed.papers);
  if (!typed.output.empty()) files = write_folder(call, of, typed, findings);
  const auto took =
      std::chrono::duration_cast<std::chrono::seconds>(std::chrono::steady_clock::now() - began);
  const RecallNumbers& numbers = of.numbers;
  const int status = engine::has_stop(findings) ? 1 : 0;
  if (call.json()) {
    Json out = Json::object();
    out.set("practice", true).set("ids", Json::list(of.scope.ids)).set("pieces", codes_of(of));
    out.set("left", numbers.left).set("with_contact", numbers.with_contact);
    out.set_or_null("traced_pct", share_json(numbers.with_contact, numbers.left));
    out.set("seconds", std::int64_t{took.count()});
    if (!files.empty()) out.set("folder", typed.output).set("files", Json::list(files));
    out.set("findings", to_json(findings));
    call.done(out);
    return status;
  }
  call.say(fmt::format("PRACTICE, nothing is entered. {}: on {}.", join_words(of.scope.ids),
                       count_of(numbers.pieces, "piece")));
  for (const RecalledPiece& piece : of.pieces)
    call.say_list("  " + piece.piece.code, piece.whereabouts());
  call.say(fmt::format("With somebody: {}. Traced to a person with a contact: {}. Time taken: {}.",
                       numbers.left, share_words(numbers.with_contact, numbers.left),
                       took.count() < 1 ? "less than a second" : show(Seconds{took.count()})));
  say_alike(call, of.scope);
  say_losses(call);
  if (!files.empty()) call.say(fmt::format("Written to {}, headed PRACTICE.", typed.output));
  call.findings(findings);
  return status;
}

int write_recall(Call& call) {
  Typed typed;
  declare(call, typed);
  call.parse();
  check(call, typed);
  if (typed.papers.practice) return practise(call, typed);
  const RecallCase of = recall_case(call, recall_scope(call, typed.words, typed.supply, false));
  call.need(typed.output, "-o", "Folder to write");
  const auto findings = findings_on(call, of, typed.papers);
  const std::vector<std::string> files = write_folder(call, of, typed, findings);
  const int status = engine::has_stop(findings) ? 1 : 0;
  const RecallNumbers& numbers = of.numbers;
  if (call.json()) {
    Json out = Json::object();
    out.set("folder", typed.output).set("files", Json::list(files));
    out.set("ids", Json::list(of.scope.ids)).set("pieces", codes_of(of));
    out.set("left", numbers.left).set("with_contact", numbers.with_contact);
    out.set("without_contact", numbers.without_contact).set("forgotten", numbers.forgotten);
    out.set("strangers", numbers.strangers);
    out.set("accounted_for", numbers.accounted_for()).set("findings", to_json(findings));
    call.done(out);
    return status;
  }
  call.say(fmt::format("Written to {}: {}.", typed.output, join_words(files)));
  call.say(fmt::format(
      "{}: {}. Accounted for: {}. Of {} with somebody, {} with a contact, {} without, "
      "{} forgotten{}.",
      count_of(numbers.pieces, "piece"), progress_words(numbers),
      share_words(numbers.accounted_for(), numbers.pieces), numbers.left, numbers.with_contact,
      numbers.without_contact, numbers.forgotten,
      numbers.strangers ? fmt::format(", {} with strangers, whom only the public notice reaches",
                                      numbers.strangers)
                        : ""));
  say_alike(call, of.scope);
  say_losses(call);
  call.say(
      "All of these are drafts, and they hold names: sending them, and to whom, is your decision. "
      "Begin with summary.txt, which says whom else to tell.");
  call.findings(findings);
  return status;
}

}  // namespace

RecallCase recall_case(Call& call, RecallScope scope) {
  RecallCase out;
  out.scope = std::move(scope);
  out.pieces = recalled_pieces(call, out.scope);
  out.people = recalled_people(call, out.pieces);
  out.numbers = numbers_of(call, out.pieces);
  return out;
}

int recall(Call& call) {
  if (!call.choose_if({"returned"}).empty())
    throw Error::request(
        "A board that came back is entered with 'trencher take-back PIECE'; the recall counts it "
        "from then on.");
  const std::string what = call.choose_if({"status", "reached", "no-answer", "destroyed", "close"});
  if (what == "status") return recall_status(call);
  if (what == "close") return recall_close(call);
  return what.empty() ? write_recall(call) : recall_step(call, what);
}

}  // namespace trencher::commands
