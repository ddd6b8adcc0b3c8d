#include "commands/recall_progress.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "book/queries.h"
#include "commands/people.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

bool is_ended(Call& call, std::int64_t withdrawal) {
  return !book::recall_ends_of(call.book(), withdrawal).empty();
}

bool is_gone(const RecalledPiece& piece) {
  return piece.state == "scrapped" || piece.state == "destroyed";
}

constexpr std::array all_states{"here",         "returned",  "reached",
                                "no-answer",    "destroyed", "scrapped",
                                "not yet told", "stranger",  "unknown person"};

Json to_json(Call& call, const RecallCase& of, bool ended) {
  const Withdrawal& word = of.scope.words.front();
  Json out = Json::object();
  out.set("entry", word.entry).set("ids", Json::list(word.ids)).set("why", word.why);
  out.set("at", iso(word.at)).set("ended", ended);
  Json numbers = Json::object();
  numbers.set("pieces", of.numbers.pieces);
  for (const char* state : all_states) numbers.set(state, of.numbers.of_state(state));
  numbers.set("accounted_for", of.numbers.accounted_for()).set("settled", of.numbers.settled());
  out.set("numbers", std::move(numbers));
  Json pieces = Json::array();
  for (const RecalledPiece& piece : of.pieces) {
    Json row = Json::object();
    row.set("piece", piece.piece.code).set("state", piece.state);
    if (piece.now) row.set("person", recipient_name(call.book(), piece.now->gift));
    if (piece.told) {
      row.set("entry", piece.told->entry).set("at", iso(piece.told->at));
      if (!piece.told->how.empty()) row.set("how", piece.told->how);
    }
    pieces.push(std::move(row));
  }
  return out.set("pieces", std::move(pieces));
}

void say(Call& call, const RecallCase& of, bool ended) {
  const Withdrawal& word = of.scope.words.front();
  call.say(fmt::format("Entry {}: {} withdrawn {}: {}.{}", word.entry, join_words(word.ids),
                       show(word.at), word.why, ended ? " The recall has been closed." : ""));
  if (of.pieces.empty()) return call.say_list("  -", "on no board");
  for (const RecalledPiece& piece : of.pieces) {
    const std::string who = piece.now ? recipient_name(call.book(), piece.now->gift) : "";
    std::string text = piece.state == "stranger" ? who : piece.state;
    if (!who.empty() && text != who) text += ", " + who;
    if (piece.told)
      text += fmt::format(", {}{} [entry {}]", show(piece.told->at),
                          piece.told->how.empty() ? "" : ", " + piece.told->how, piece.told->entry);
    call.say_list("  " + piece.piece.code, text);
  }
  call.say(
      fmt::format("Of {}: {}.", count_of(of.numbers.pieces, "piece"), progress_words(of.numbers)));
  call.say(fmt::format("Accounted for: {}. Settled (here, back, scrapped, destroyed, reached): {}.",
                       share_words(of.numbers.accounted_for(), of.numbers.pieces),
                       share_words(of.numbers.settled(), of.numbers.pieces)));
}

// The pieces that a word means for this recall, each of which must have left.
std::vector<int> pieces_meant(const RecallCase& of, const Pieces& named, const std::string& state) {
  std::vector<int> out;
  const std::string what = fmt::format("the recall of entry {}", of.scope.words.front().entry);
  for (const int number : named.numbers) {
    const auto found = std::find_if(of.pieces.begin(), of.pieces.end(), [&](const auto& piece) {
      return piece.piece.batch == named.batch && piece.piece.number == number;
    });
    const bool touched = found != of.pieces.end();
    if (touched && found->now && !is_gone(*found)) {
      out.push_back(number);
      continue;
    }
    if (named.whole_batch) continue;
    const std::string code = PieceCode{*parse_batch_code(named.batch), number}.text();
    if (!touched)
      throw Error::request(
          fmt::format("Piece {} is not in {}: nothing of it is on the piece.", code, what));
    if (is_gone(*found))
      throw Error::request(
          fmt::format("Piece {} is {} already; nothing is left to enter.", code, found->state));
    throw Error::request(fmt::format("Piece {} {} and is here, so nobody is to be told; {}.", code,
                                     found->back ? "came back" : "never left",
                                     state == "destroyed"
                                         ? "'trencher scrap' enters that it came to nothing"
                                         : "it leaves no more"));
  }
  if (out.empty())
    throw Error::request(
        fmt::format("No piece of {} that is with somebody is in {}.", named.batch, what));
  return out;
}

RecallCase case_of(Call& call, const Withdrawal& word) { return recall_case(call, scope_of(word)); }

bool is_on(const RecallCase& of, const Pieces& named) {
  return std::any_of(of.pieces.begin(), of.pieces.end(), [&](const RecalledPiece& piece) {
    return piece.piece.batch == named.batch && names_piece(named.numbers, piece.piece.number);
  });
}

// The one that is named, else the only open one that touches the pieces.
RecallCase need_recall(Call& call, const std::string& typed, const Pieces& named) {
  if (!typed.empty()) return case_of(call, need_withdrawal(call, typed));
  std::vector<RecallCase> found;
  for (RecallCase& of : open_recalls(call))
    if (is_on(of, named)) found.push_back(std::move(of));
  if (found.size() == 1) return std::move(found.front());
  const std::string code =
      named.whole_batch || named.numbers.size() != 1
          ? named.batch
          : PieceCode{*parse_batch_code(named.batch), named.numbers.front()}.text();
  if (found.empty()) throw Error::request(fmt::format("No open recall touches {}.", code));
  std::vector<std::string> entries;
  for (const RecallCase& of : found)
    entries.push_back(std::to_string(of.scope.words.front().entry));
  throw Error::request(fmt::format("Several open recalls touch {}: entries {}; --of names one.",
                                   code, join_words(entries)));
}

}  // namespace

std::vector<RecallCase> open_recalls(Call& call) {
  std::vector<RecallCase> out;
  for (const Withdrawal& word : book::withdrawals(call.book())) {
    if (is_ended(call, word.entry)) continue;
    RecallCase of = case_of(call, word);
    if (!std::all_of(of.pieces.begin(), of.pieces.end(), is_gone)) out.push_back(std::move(of));
  }
  return out;
}

std::string progress_words(const RecallNumbers& numbers) {
  std::vector<std::string> parts;
  const auto add = [&](const char* state, const char* words) {
    if (const int count = numbers.of_state(state))
      parts.push_back(fmt::format("{} {}", count, words));
  };
  add("here", "here");
  add("returned", "came back");
  add("reached", "reached");
  add("no-answer", "without an answer");
  add("not yet told", "not yet told");
  add("stranger", "with a stranger");
  add("unknown person", "with somebody unknown");
  add("destroyed", "destroyed");
  add("scrapped", "scrapped");
  return join(parts, ", ");
}

int recall_status(Call& call) {
  std::string entry;
  call.word("ENTRY", entry, "of the withdrawal; left out: every open recall");
  call.parse();
  std::vector<RecallCase> cases;
  if (entry.empty())
    cases = open_recalls(call);
  else
    cases.push_back(case_of(call, need_withdrawal(call, entry)));
  Json out = Json::array();
  for (const RecallCase& of : cases) {
    const bool ended = is_ended(call, of.scope.words.front().entry);
    if (call.json())
      out.push(to_json(call, of, ended));
    else
      say(call, of, ended);
  }
  if (!call.json() && cases.empty())
    call.say("No recall is open; 'trencher withdraw' and then 'trencher recall' begin one.");
  return call.done(out);
}

int recall_step(Call& call, const std::string& state) {
  std::vector<std::string> codes;
  std::string of_entry, how;
  call.words("PIECE", codes,
             "codes of pieces, or of batches: all of theirs that are with somebody");
  call.option("--of", "ENTRY", of_entry, "the withdrawal; not needed where one recall is open");
  call.option("--how", "TEXT", how, "as 'by phone'; no name, it stays in the journal");
  call.parse();
  call.need(codes, "PIECE", "Which pieces");
  if (!how.empty()) how = checked_text(how, "--how");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  std::map<std::pair<std::int64_t, std::string>, RecallStep> steps;  // by withdrawal and batch
  for (const std::string& code : codes) {
    const Pieces named = need_pieces(call, code);
    const RecallCase of = need_recall(call, of_entry, named);
    const Withdrawal& word = of.scope.words.front();
    if (stamp.happened.at < word.at.at)
      throw Error::request(fmt::format("Entry {} withdrew it on {}, after {}.", word.entry,
                                       show(word.at), show(stamp.happened)));
    RecallStep& step = steps[{word.entry, named.batch}];
    step.withdrawal = word.entry;
    step.batch = named.batch;
    for (const int piece : pieces_meant(of, named, state))
      if (std::find(step.pieces.begin(), step.pieces.end(), piece) == step.pieces.end())
        step.pieces.push_back(piece);
    step.state = state;
    step.how = how;
  }
  std::int64_t entry = 0;
  std::vector<std::string> said;
  for (auto& [key, step] : steps) {
    std::sort(step.pieces.begin(), step.pieces.end());
    Json body = step.body();
    call.annotate(body);
    entry = writing.append("recall", body, stamp);
    said.push_back(fmt::format("{} of {} (recall of entry {}); entry {}", name_pieces(step.pieces),
                               step.batch, step.withdrawal, entry));
  }
  writing.commit();
  return call.wrote(entry, steps.begin()->second.batch, {},
                    fmt::format("{}: {}.",
                                state == "no-answer" ? "No answer"
                                : state == "reached" ? "Reached"
                                                     : "Destroyed",
                                join(said, "; ")));
}

int recall_close(Call& call) {
  std::string typed;
  RecallEnd end;
  call.word("ENTRY", typed, "of the withdrawal");
  call.option("--why", "TEXT", end.why, "why the recall is over");
  call.parse();
  call.need(typed, "ENTRY", "The entry of which withdrawal");
  call.need(end.why, "--why", "Why it is over");
  end.why = checked_text(end.why, "--why");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const Withdrawal word = need_withdrawal(call, typed);
  if (const auto ends = book::recall_ends_of(call.book(), word.entry); !ends.empty())
    throw Error::request(fmt::format("The recall of entry {} has been closed already (entry {}).",
                                     word.entry, ends.front().entry));
  if (stamp.happened.at < word.at.at)
    throw Error::request(fmt::format("Entry {} withdrew it on {}, after {}.", word.entry,
                                     show(word.at), show(stamp.happened)));
  const RecallNumbers numbers = case_of(call, word).numbers;
  end.withdrawal = word.entry;
  Json body = end.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("recall-end", body, stamp);
  writing.commit();
  return call.wrote(entry, fmt::format("entry {}", word.entry), {},
                    fmt::format("The recall of entry {} is closed; entry {}. Settled: {}. {} stays "
                                "withdrawn.",
                                word.entry, entry, share_words(numbers.settled(), numbers.pieces),
                                join_words(word.ids)));
}

}  // namespace trencher::commands
