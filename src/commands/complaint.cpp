#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "book/kinds.h"
#include "book/queries.h"
#include "commands/amend.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/contents.h"
#include "commands/letter_content.h"
#include "commands/letter_wish.h"
#include "commands/markets.h"
#include "commands/printed_text.h"
#include "commands/topics.h"
#include "commands/touched.h"
#include "domain/error.h"
#include "domain/text.h"
#include "paper/language.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

std::vector<std::string> codes_of(const Complaint& complaint) {
  return book::piece_codes(complaint.batch, complaint.pieces);
}

// A tin, thing or lot of the board, with the other boards that it is on.
struct Shared {
  std::string id, name;
  std::vector<std::string> here, left;
};

std::vector<Shared> shared_with(Call& call, const Complaint& complaint) {
  const BatchView view = view_batch(call, complaint.batch);
  std::vector<Shared> out;
  const std::vector<std::string> own = codes_of(complaint);
  const auto add = [&](const std::string& id, const std::string& name) {
    if (id.empty() ||
        std::any_of(out.begin(), out.end(), [&](const Shared& known) { return known.id == id; }))
      return;
    Shared shared{id, name, {}, {}};
    for (const TouchedPiece& piece : pieces_touched(call, {id}))
      if (!piece.scrapped && std::find(own.begin(), own.end(), piece.code) == own.end())
        (piece.left ? shared.left : shared.here).push_back(piece.code);
    out.push_back(std::move(shared));
  };
  for (const int piece : complaint.pieces) {
    const engine::PieceContents contents = contents_of(call, view, piece, "");
    for (const WoodLot& lot : contents.wood) add(lot.id, lot.common_name);
    for (const Tin& tin : contents.tins) add(tin.id, tin.name);
  }
  return out;
}

// The markets that the boards went to; of those that never left the workshop's.
std::vector<std::string> markets_of(Call& call, const Complaint& complaint) {
  std::vector<std::string> out;
  for (const Gift& gift : book::gifts_of(call.book(), complaint.batch))
    if (std::any_of(complaint.pieces.begin(), complaint.pieces.end(),
                    [&](int piece) { return names_piece(gift.pieces, piece); }) &&
        std::find(out.begin(), out.end(), gift.market) == out.end())
      out.push_back(gift.market);
  return out.empty() ? call.settings().markets : out;
}

std::vector<Rule> rules_on(Call& call, const Complaint& complaint) {
  std::vector<Rule> out;
  for (const std::string& market : markets_of(call, complaint))
    for (Rule& rule : reference::rules_of(market, "accident-report"))
      if (std::none_of(out.begin(), out.end(),
                       [&](const Rule& known) { return known.key == rule.key; }))
        out.push_back(std::move(rule));
  return out;
}

Json json_of(Call& call, const Complaint& complaint) {
  Json shared = Json::array();
  for (const Shared& tin : shared_with(call, complaint))
    shared.push(Json::object()
                    .set("id", tin.id)
                    .set("here", Json::list(tin.here))
                    .set("left", Json::list(tin.left)));
  Json rules = Json::array();
  for (const Rule& rule : rules_on(call, complaint))
    rules.push(Json::object()
                   .set("key", rule.key)
                   .set("cite", rule.cite)
                   .set("asks", rule.asks)
                   .set("ask", rule.ask)
                   .set("reviewed", iso(rule.reviewed))
                   .set("standing", rule.standing));
  Json out = Json::object();
  out.set("pieces", Json::list(codes_of(complaint))).set("what", complaint.what);
  out.set("severity", complaint.severity).set("shared", std::move(shared));
  return out.set("rules", std::move(rules));
}

void print(Call& call, const Complaint& complaint) {
  call.say("What the board shares with others:");
  for (const Shared& tin : shared_with(call, complaint)) {
    std::vector<std::string> parts;
    if (!tin.here.empty()) parts.push_back("here " + join(tin.here, " "));
    if (!tin.left.empty()) parts.push_back("left " + join(tin.left, " "));
    call.say_list("  -", fmt::format("{} {}: {}", tin.id, tin.name,
                                     parts.empty() ? "on no other board" : join(parts, "; ")));
  }
  call.say(complaint.severity == "flaw"
               ? "A flaw that hurts nobody is no accident. Should it turn out otherwise, the rules "
                 "say:"
               : "What the rules say of reporting:");
  for (const Rule& rule : rules_on(call, complaint))
    call.say_list("  -", fmt::format("{}: {} Ask: {}. [{}; {}, last looked at {}]",
                                     market_name(rule.market), rule.asks, rule.ask, rule.cite,
                                     rule.standing == "memory" ? "from memory" : rule.standing,
                                     show(rule.reviewed)));
  call.say(
      "Whether a report is due is for you and the office named to decide. Should a tin be to "
      "blame: 'trencher withdraw'.");
}

int list_complaints(Call& call) {
  Json out = Json::array();
  std::vector<std::vector<std::string>> rows;
  const std::vector<book::OpenWrong> open = book::open_wrongs(call.book());
  for (const Complaint& complaint : book::complaints(call.book())) {
    const bool dealt = std::none_of(open.begin(), open.end(), [&](const book::OpenWrong& wrong) {
      return wrong.entry == complaint.entry;
    });
    Json row = Json::object();
    row.set("entry", complaint.entry).set("at", iso(complaint.at));
    row.set("pieces", Json::list(codes_of(complaint))).set("what", complaint.what);
    row.set("severity", complaint.severity).set("where", complaint.where);
    out.push(row.set("dealt", dealt));
    rows.push_back({std::to_string(complaint.entry), show(local_day(complaint.at)),
                    join(codes_of(complaint), " "),
                    fmt::format("{} ({}){}", complaint.what, severity_words(complaint.severity),
                                dealt ? "; dealt with" : "")});
  }
  if (!call.json()) {
    if (rows.empty())
      call.say("No complaint is entered. 'trencher complaint PIECE --what …' enters one.");
    else
      call.table({"Entry", "Learned", "Piece", "What"}, rows);
  }
  return call.done(out);
}

bool is_entry_number(const std::string& word) {
  return !word.empty() && word.size() < 9 &&
         word.find_first_not_of("0123456789") == std::string::npos;
}

// The reply to whoever complained, as a letter.
void reply_to(Call& call, const Complaint& complaint, Moment learned, LetterWish& wish) {
  const BatchView view = view_batch(call, complaint.batch);
  std::vector<AnsweredBoards> boards;
  for (const int piece : complaint.pieces) {
    const std::string code = book::piece_codes(complaint.batch, {piece}).front();
    boards.push_back({{code},
                      {piece},
                      {answer_topic(contents_of(call, view, piece, code), {"contents", false})}});
  }
  paper::LetterContent content =
      letter_content(call, view, together(std::move(boards)), wish.language);
  content.kind = paper::LetterKind::complaint;
  content.complaint = complaint.what;
  content.learned_on = paper::Language(wish.language).long_date(local_day(learned));
  std::set<std::string> others;
  for (const Shared& tin : shared_with(call, complaint))
    for (const auto* codes : {&tin.here, &tin.left}) others.insert(codes->begin(), codes->end());
  content.shared = static_cast<int>(others.size());
  std::vector<engine::Finding> found = write_letter(call, view, content, wish);
  call.out() << wish.text;
  for (engine::Finding& claim : claims_in_print({{"the complaint", complaint.what}}, false))
    found.push_back(std::move(claim));
  if (!call.json()) call.findings(found);
}

int show_complaint(Call& call, const std::string& typed, LetterWish& wish) {
  const book::Effective entry = need_entry(call, typed);
  if (entry.entry.kind != "complaint")
    throw Error::request(
        fmt::format("Entry {} is of kind {}, not a complaint.", typed, entry.entry.kind));
  Complaint complaint = Complaint::read(entry.body);
  if (wish.any()) reply_to(call, complaint, entry.happened, wish);
  if (wish.shown && !call.json()) return 0;  // the letter alone, ready to send
  if (call.json()) return call.done(json_of(call, complaint).set("entry", entry.entry.number));
  call.say(fmt::format("Complaint of {}, learned {}: {} ({}){}.", join(codes_of(complaint), " "),
                       show(entry.happened), complaint.what, severity_words(complaint.severity),
                       complaint.where.empty() ? "" : ", in " + complaint.where));
  print(call, complaint);
  return 0;
}

}  // namespace

int complaint(Call& call) {
  std::string code, list;
  Complaint complaint;
  call.word("PIECE", code,
            "code of a piece, or of a batch; or the entry of a complaint, to show it; all of them "
            "if left out");
  call.option("--pieces", "LIST", list, "of a batch: only these boards, as 1-3,5");
  call.option("--what", "TEXT", complaint.what,
              "what is wrong with the board; nothing of who was hurt, or how");
  call.option("--severity", "HOW", complaint.severity, join(severities(), ", "));
  call.option("--where", "TEXT", complaint.where, "country or town where it happened");
  LetterWish wish;
  wish.declare(call);
  call.parse();
  wish.check(call);
  if (code.empty() && complaint.what.empty()) return list_complaints(call);
  if (is_entry_number(code) && complaint.what.empty()) return show_complaint(call, code, wish);
  call.need(code, "PIECE", "Which piece");
  call.need(complaint.what, "--what", "What is wrong with the board");
  call.need(complaint.severity, "--severity", {"How bad is it", severities()});
  Call::check_known(complaint.severity, "Severity", severities());
  complaint.what = checked_text(complaint.what, "--what");
  if (!complaint.where.empty()) complaint.where = checked_text(complaint.where, "--where");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const Pieces named = need_pieces(call, code);
  complaint.batch = named.batch;
  complaint.pieces = chosen_pieces(call, named, list);
  Json body = complaint.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("complaint", body, stamp);
  writing.commit();
  if (wish.any()) reply_to(call, complaint, stamp.happened, wish);
  const int status = call.wrote(
      entry, code_of(named), {},
      fmt::format("Complaint of {}, learned {}: {} ({}); entry {}. 'trencher due' has it until "
                  "'trencher dealt {}'.",
                  join(codes_of(complaint), " "), show(stamp.happened), complaint.what,
                  severity_words(complaint.severity), entry, entry),
      call.json() ? json_of(call, complaint) : Json::object());
  if (!call.json()) print(call, complaint);
  return status;
}

}  // namespace trencher::commands
