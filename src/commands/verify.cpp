#include "book/verify.h"

#include <fmt/format.h>

#include "book/against.h"
#include "commands/command.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// A file of that name, or else a hash; nothing where `typed` is empty.
std::optional<book::Against> compare(Call& call, const book::Verdict& verdict,
                                     const std::string& typed) {
  if (typed.empty()) return {};
  if (std::error_code ignored; std::filesystem::exists(typed, ignored))
    return book::against_file(call.book(), verdict, typed);
  const auto hash = book::typed_hash(typed);
  if (!hash)
    throw Error::request(
        fmt::format("--against '{}' is neither a file nor a last hash, which has 64 hexadecimal "
                    "digits (its first 8 or more will do).",
                    typed));
  return book::against_hash(call.book(), verdict, *hash);
}

// "Entries 1 to 41 follow from one another and can still be trusted; from entry 42 on not."
std::string trusted_words(const book::Verdict& verdict) {
  const std::int64_t to = verdict.trusted_to;
  if (to >= verdict.last)
    return "The journal is as it was written: all its entries follow from one another.";
  if (to == 0) return "No entry can be trusted: the chain of hashes does not hold from the first.";
  return fmt::format("{} and can still be trusted; from entry {} on not.",
                     to == 1 ? "Entry 1 follows from the book's id"
                             : fmt::format("Entries 1 to {} follow from one another", to),
                     to + 1);
}

std::string hurt_words(const book::Verdict& verdict) {
  using book::Part;
  const auto hurt = [&](Part part) { return verdict.hurt.contains(part); };
  std::vector<std::string> parts;
  if (hurt(Part::journal)) parts.push_back("the journal");
  if (hurt(Part::vault)) parts.push_back("the vault (people and files)");
  if (parts.empty())
    return hurt(Part::file)
               ? "Nothing that was written is hurt so far, but the file itself is damaged."
               : "Nothing that was written is hurt: only what follows from the journal, or the "
                 "rules that guard it, which can be made anew.";
  return fmt::format("Hurt {} {}.", parts.size() > 1 ? "are" : "is", join_words(parts));
}

void say_rescued(Call& call, const book::Verdict& verdict) {
  for (const Gap& gap : verdict.gaps)
    call.say_list("  -", fmt::format("{} {} lost, as a rescue noted.", gap_words(gap),
                                     gap.first == gap.last ? "is" : "are"));
  for (const std::int64_t entry : verdict.unproved)
    call.say_list(
        "  -", fmt::format("Entry {} is unproved: what it would follow from is lost. It is as the "
                           "rescue found it, and no hash shows whether it was altered before.",
                           entry));
  if (verdict.open_end)
    call.say_list("  -", "Entries may be lost behind the last one that the rescue found.");
  if (verdict.persons_lost)
    call.say_list("  -", fmt::format("{} named by entries {} lost.",
                                     count_of(static_cast<std::int64_t>(verdict.persons_lost),
                                              "person", "people"),
                                     verdict.persons_lost == 1 ? "is" : "are"));
  if (verdict.files_lost)
    call.say_list("  -",
                  fmt::format("{} that entries name {} lost.",
                              count_of(static_cast<std::int64_t>(verdict.files_lost), "file"),
                              verdict.files_lost == 1 ? "is" : "are"));
}

void say_verdict(Call& call, const book::Verdict& verdict) {
  const std::string about = fmt::format(
      "{}, last hash {}", count_of(verdict.entries, "entry", "entries"), verdict.last_hash);
  if (verdict.whole()) {
    const bool rescued = !verdict.gaps.empty() || !verdict.unproved.empty() || verdict.open_end ||
                         verdict.persons_lost || verdict.files_lost;
    call.say(fmt::format("The book is unaltered{}: {}. Unaltered does not mean correct.",
                         rescued ? " since it was rescued" : "", about));
    say_rescued(call, verdict);
    return;
  }
  call.say(fmt::format("The book is not as the program wrote it: {}.", about));
  for (const std::string& problem : verdict.problems) call.say_list("  -", problem);
  call.say(trusted_words(verdict));
  call.say(hurt_words(verdict));
  say_rescued(call, verdict);
  call.say(fmt::format(
      "Keep this file as it is. Go on with the last backup that verifies; what came after it, or "
      "all where there is none: 'trencher rescue {} -o NEW' makes a new book of what can still be "
      "read.",
      call.book_path().string()));
}

// A book that cannot even be opened may still be read by a rescue.
book::Verdict verdict_of(Call& call) {
  try {
    Progress progress = call.progress("verifying the book");
    return book::verify(call.book(), [&](std::int64_t done, std::int64_t of) {
      progress.at(static_cast<std::uint64_t>(done), static_cast<std::uint64_t>(of));
    });
  } catch (const Error& failure) {
    const std::string said = failure.what();
    const bool hurt = said.find("damaged") != std::string::npos ||
                      said.find("is no book of Trencher's") != std::string::npos;
    if (failure.kind() != Error::Kind::book || !hurt) throw;
    throw Error::book(fmt::format(
        "{} Nothing of it can be verified; 'trencher rescue {} -o NEW' makes a new book of what "
        "can still be read.",
        said, call.book_path().string()));
  }
}

Json verdict_json(const book::Verdict& verdict) {
  Json hurt = Json::array(), gaps = Json::array();
  for (const book::Part part : verdict.hurt) hurt.push(book::part_name(part));
  for (const Gap& gap : verdict.gaps)
    gaps.push(Json::object().set("first", gap.first).set("last", gap.last));
  Json out = Json::object();
  out.set("whole", verdict.whole()).set("entries", verdict.entries);
  out.set("last_hash", verdict.last_hash).set("problems", Json::list(verdict.problems));
  out.set("trusted_to", verdict.trusted_to).set("last", verdict.last).set("hurt", hurt);
  out.set("gaps", gaps).set("unproved", Json::list(verdict.unproved));
  return out.set("open_end", verdict.open_end);
}

Json against_json(const book::Against& against) {
  Json out = Json::object();
  out.set("fits", against.fits).set("another_book", against.another_book);
  out.set_or_null("contained_to", Json(against.contained_to));
  out.set_or_null("differs_from", Json(against.differs_from));
  return out.set("said", against.said);
}

}  // namespace

int verify(Call& call) {
  std::string typed;
  call.option("--against", "FILE|HASH", typed,
              "an export or a backup made earlier, or a last hash noted earlier (a batch record "
              "prints it): is the book still what it was then");
  call.parse();
  const book::Verdict verdict = verdict_of(call);
  const auto against = compare(call, verdict, typed);
  if (!call.json()) {
    say_verdict(call, verdict);
    if (against) call.say(against->said);
  }
  Json out = verdict_json(verdict);
  if (against) out.set("against", against_json(*against));
  call.done(out);
  return verdict.whole() && (!against || against->fits) ? 0 : 1;
}

}  // namespace trencher::commands
