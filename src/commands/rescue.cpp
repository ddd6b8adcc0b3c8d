#include "book/rescue.h"

#include <fmt/format.h>

#include "commands/command.h"
#include "commands/copies.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

std::string entry_list(const std::vector<std::int64_t>& entries) {
  std::vector<std::string> out;
  for (const std::int64_t entry : entries) out.push_back(std::to_string(entry));
  return join_words(out);
}

// Everything that is not as it was, one line each.
std::vector<std::string> said_words(const Rescued& said) {
  std::vector<std::string> out;
  for (const Gap& gap : said.gaps)
    out.push_back(fmt::format("{} {} lost. What {} said is not known.", gap_words(gap),
                              gap.first == gap.last ? "is" : "are",
                              gap.first == gap.last ? "it" : "they"));
  if (said.open_end)
    out.push_back(
        "Entries may be lost behind the last one that was found; how many nobody can tell.");
  for (const Rescued::Unproved& one : said.unproved)
    out.push_back(fmt::format(
        "Entry {} is unproved: the entry that it followed from is lost, so no hash shows whether "
        "it was altered. The entries behind it follow from its hash.",
        one.entry));
  if (!said.rehashed.empty())
    out.push_back(fmt::format(
        "The hash of entry {} was hurt; the entry behind proves the one put in its place.",
        entry_list(said.rehashed)));
  for (const Rescued::Lost& one : said.lost)
    out.push_back(fmt::format("{}: lost, not known but for what other entries say of it.", one.id));
  const auto count = [](std::size_t n) { return static_cast<std::int64_t>(n); };
  if (!said.persons.empty())
    out.push_back(fmt::format("Name and contact of {} that entries name {} lost.",
                              count_of(count(said.persons.size()), "person", "people"),
                              said.persons.size() == 1 ? "is" : "are"));
  if (!said.files.empty())
    out.push_back(fmt::format("{} that entries name {} lost.",
                              count_of(count(said.files.size()), "file"),
                              said.files.size() == 1 ? "is" : "are"));
  if (said.left_out)
    out.push_back(fmt::format(
        "{} of people and files left out: no entry that was kept names them, or they were altered "
        "or are forgotten. They stand in the damaged file alone.",
        count_of(said.left_out, "row")));
  if (said.id_lost)
    out.push_back(
        "The book's id is lost; the new book has another, and its first entry is unproved.");
  return out;
}

}  // namespace

int rescue(Call& call) {
  std::string damaged, target;
  call.word("DAMAGED", damaged, "the book, backup or export that is hurt; it is only read");
  call.option("-o", "NEW", target, "the new book; it must not exist");
  call.parse();
  call.need(damaged, "DAMAGED", "Damaged file to rescue from");
  call.need(target, "-o", "New book to write");
  target = checked_text(target, "-o");
  Progress progress = call.progress("rescuing");
  const book::RescueReport report =
      book::rescue(damaged, target, call.now(), [&](std::int64_t done, std::int64_t of) {
        progress.at(static_cast<std::uint64_t>(done), static_cast<std::uint64_t>(of));
      });
  progress.wipe();
  const std::vector<std::string> lines = said_words(report.said);
  if (!call.json()) {
    call.say(fmt::format("Rescued: {} of {} into {}; entry {} says what is lost.",
                         count_of(report.entries, "entry", "entries"), damaged, target,
                         report.entry));
    for (const std::string& line : lines) call.say_list("  -", line);
    if (lines.empty()) call.say_list("  -", "Nothing is lost.");
    call.say(
        "Keep the damaged file, away from strangers. Compare the new book with the last backup or "
        "export: 'trencher verify --against FILE'.");
  }
  Json out = Json::object();
  out.set("file", target).set("entries", report.entries).set("entry", report.entry);
  out.set("last_hash", report.last_hash).set("rescued", report.said.body());
  return call.done(out.set("said", Json::list(lines)));
}

}  // namespace trencher::commands
