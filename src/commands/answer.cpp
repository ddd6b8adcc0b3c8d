#include <fmt/format.h>

#include <algorithm>
#include <optional>

#include "book/amended.h"
#include "book/queries.h"
#include "commands/amend.h"
#include "commands/command.h"
#include "commands/letter_wish.h"
#include "commands/output_file.h"
#include "commands/reply.h"
#include "domain/error.h"
#include "domain/text.h"
#include "engine/evidence_list.h"

namespace trencher::commands {
namespace {

Json texts(const std::vector<engine::Sentence>& sentences) {
  Json out = Json::array();
  for (const engine::Sentence& said : sentences) out.push(said.text);
  return out;
}

Json row_of(const std::string& code, const engine::Answer& answer, const AnsweredBoards& group) {
  Json because = Json::array();
  for (const engine::Because& reason : answer.because)
    because.push(Json::object().set("entry", reason.entry).set("text", reason.text));
  Json corrected = Json::array();
  for (const Mended& mended : group.mended)
    corrected.push(Json::object()
                       .set("entry", mended.entry)
                       .set("by", mended.by)
                       .set("struck", mended.struck)
                       .set("why", mended.why)
                       .set("said", mended.said));
  Json row = Json::object();
  row.set("piece", code).set("about", answer.about).set("result", answer.result);
  row.set("because", std::move(because)).set("missing", texts(answer.missing));
  return row.set("notes", texts(answer.notes)).set("corrected", std::move(corrected));
}

// Reasons that say the same of several entries are told once.
void print_reasons(Call& call, const std::vector<engine::Because>& reasons) {
  for (auto reason = reasons.begin(); reason != reasons.end();) {
    auto end = reason;
    std::vector<std::string> entries, days;
    for (; end != reasons.end() && end->text == reason->text; ++end) {
      if (end->entry == 0) continue;
      entries.push_back(std::to_string(end->entry));
      const std::string day = show(local_day(book::happened_at(call.book(), end->entry).value()));
      if (days.empty() || days.back() != day) days.push_back(day);
    }
    call.say_list(
        "  -",
        reason->text + (entries.empty()
                            ? ""
                            : fmt::format(" [{} {}; {}]", entries.size() == 1 ? "entry" : "entries",
                                          join(entries, ", "), join_words(days))));
    reason = end;
  }
}

// A list of what is recorded says so itself.
bool lists(const engine::Answer& answer) {
  return engine::is_list_topic(answer.about) && answer.result == engine::contains;
}

void print(Call& call, const AnsweredBoards& group) {
  for (const engine::Answer& answer : group.answers) {
    call.say(fmt::format("{}, {}:{}", join(group.codes, " "), allergen_name(answer.about),
                         lists(answer) ? "" : " " + answer.result));
    print_reasons(call, answer.because);
    for (const engine::Sentence& missing : answer.missing)
      call.say_list("  Missing:", missing.text);
    if (answer.result == engine::none_recorded)
      call.say_list("  Note:", "None recorded does not mean free from.");
    if (const auto ids = ids_spoken_of(answer.about); !ids.empty())
      call.say_list("  See also:", fmt::format("--about {}", join(ids, " ")));
  }
  for (const Mended& mended : group.mended) call.say_list("Mended later:", mended_words(mended));
}

// "Walnut: contains (26-001-01-50); not known (26-001-02-47 26-001-03-44)"
std::string difference(const Reply& reply, std::size_t topic) {
  std::vector<std::pair<std::string, std::vector<std::string>>> by_result;
  for (const AnsweredBoards& group : reply.groups) {
    const std::string& result = group.answers[topic].result;
    auto known = std::find_if(by_result.begin(), by_result.end(),
                              [&](const auto& other) { return other.first == result; });
    if (known == by_result.end()) known = by_result.insert(known, {result, {}});
    known->second.insert(known->second.end(), group.codes.begin(), group.codes.end());
  }
  const std::string about = allergen_name(reply.groups.front().answers[topic].about);
  if (by_result.size() == 1)
    return fmt::format("{}: {} in all, by different ways", about, by_result.front().first);
  std::vector<std::string> parts;
  for (auto& [result, codes] : by_result) {
    std::sort(codes.begin(), codes.end());
    parts.push_back(fmt::format("{} ({})", result, join(codes, " ")));
  }
  return fmt::format("{}: {}", about, join(parts, "; "));
}

void print_differences(Call& call, const Reply& reply) {
  if (reply.groups.size() < 2) return;
  call.say(fmt::format("The boards of {} are not alike:", reply.batch));
  for (std::size_t i = 0; i < reply.topics.size(); ++i) call.say_list("  -", difference(reply, i));
}

}  // namespace

int answer(Call& call) {
  std::string code;
  std::vector<std::string> about, ingredients;
  bool keep = false;
  call.word("PIECE", code, "code of a piece, or of a batch");
  call.id_list("--about", about,
               "an allergen or substance (see 'trencher allergens'), an ingredient that a paper "
               "names, finish, glue, other, wood, contents, animal-material");
  call.list("--ingredient", "NAME", ingredients, "an ingredient by any name, as \"carnauba wax\"");
  call.flag("--keep", keep,
            "keep what the record says of the boards today, of every topic; never what was asked, "
            "nor who asked");
  LetterWish wish;
  wish.declare(call);
  call.parse();
  call.need(code, "PIECE", "Which piece");
  wish.check(call);
  if (ingredients.empty()) call.need(about, "--about", {"About what", topic_ids()});
  if (!call.note().empty() || !call.because().empty())
    throw Error::request(
        "An answer is kept of the boards alone: --note and --because are not taken with it, lest "
        "somebody's health be written down.");
  const std::vector<Topic> topics = topics_of(call, about, ingredients);
  const Reply reply = reply_about(call, code, topics);
  std::vector<engine::Finding> found;
  std::optional<PaperOfEntry> paper;
  if (wish.any()) {
    const BatchView view = view_batch(call, reply.batch);
    found = write_letter(call, view, letter_content(call, view, reply.groups, wish.language), wish);
    if (keep && !wish.file.empty()) paper.emplace(wish.file);
  }
  const int status = engine::has_stop(found) ? 1 : 0;
  // After the letter, which says as of which entry it speaks, and which may fail.
  std::vector<std::int64_t> kept;
  if (keep) kept = keep_answer(call, reply);
  if (paper) paper->entered();
  call.out() << wish.text;
  if (call.json()) {
    Json out = Json::array();
    for (const AnsweredBoards& group : reply.groups)
      for (const std::string& piece : group.codes)
        for (const engine::Answer& given : group.answers) out.push(row_of(piece, given, group));
    call.done(out);
    return status;
  }
  if (!wish.any()) {
    print_differences(call, reply);
    for (const AnsweredBoards& group : reply.groups) print(call, group);
    for (const engine::Sentence& note : notes_of(reply.groups)) call.say_list("Note:", note.text);
  }
  call.findings(found);
  if (keep)
    call.say(fmt::format(
        "Kept as {} {}: what the record says of the boards, of every topic; not what was asked, "
        "nor who asked. 'trencher answers --outdated' tells when it no longer holds.",
        kept.size() == 1 ? "entry" : "entries", join_numbers(kept)));
  return status;
}

}  // namespace trencher::commands
