#include "commands/describe.h"

#include <fmt/format.h>

#include "book/kinds.h"
#include "book/queries.h"
#include "commands/shop.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

std::string conditions(const Step& step, Units units) {
  std::string out;
  if (step.temp) out += fmt::format(", air {}", show(*step.temp, units));
  if (step.rh) out += fmt::format(", humidity {}", show(*step.rh));
  if (step.surface_temp) out += fmt::format(", surface {}", show(*step.surface_temp, units));
  if (step.wood_temp) out += fmt::format(", wood {}", show(*step.wood_temp, units));
  if (step.tin_temp) out += fmt::format(", tin {}", show(*step.tin_temp, units));
  return out;
}

std::string tell_drawn(const std::vector<Drawn>& drawn, Units units) {
  std::vector<std::string> tins;
  for (const Drawn& part : drawn)
    tins.push_back(part.amount ? fmt::format("{} {}{}", part.tin, show(*part.amount, units),
                                             part.estimated ? " (estimated)" : "")
                               : part.tin);
  return join_words(tins);
}

std::string tell_turn(const Turn& turn) {
  const std::string pieces = name_pieces(turn.pieces);
  const std::string way =
      turn.schedule ? fmt::format(": '{}' with {}", turn.schedule->id, join_words(turn.finish))
                    : "";
  if (turn.kind == Turn::Kind::split)
    return fmt::format("own way: {}{}{}", pieces, way,
                       turn.why.empty() ? "" : ". Why: " + turn.why);
  return fmt::format("taken back: {} in {}, {}{}", pieces, turn.place,
                     turn.unused                  ? "unused as was said"
                     : turn.owner_applied.empty() ? "what the owner put on is not known"
                                                  : "the owner put on: " + turn.owner_applied,
                     way);
}

std::string tell_step(Call& call, const std::string& kind, const Json& body) {
  const Step step = Step::read(kind, body);
  std::string out = kind;
  if (!step.drawn.empty()) out += " from " + tell_drawn(step.drawn, call.units());
  if (!step.pieces.empty()) out += ", " + name_pieces(step.pieces);
  if (!step.grits.empty()) {
    std::vector<std::string> grits;
    for (const int grit : step.grits) grits.push_back(std::to_string(grit));
    out += ", grit " + join(grits, ", ");
  }
  if (step.rounds) out += ", " + count_of(*step.rounds, "round");
  if (!step.result.empty()) out += step.result == "sound" ? ", sound" : ", not sound";
  if (kind == "move") out += " to " + step.place;
  if (!step.text.empty()) out += ": " + step.text;
  return out + conditions(step, call.units());
}

std::string tell_statement(const Statement& statement) {
  std::string out = fmt::format("statement about {} of {}", statement.about, statement.subject);
  const auto names = [](const std::vector<std::string>& ids) {
    std::vector<std::string> all;
    for (const std::string& id : ids) all.push_back(allergen_name(id));
    return join_words(all);
  };
  if (!statement.contains.empty()) out += ": contains " + names(statement.contains);
  if (!statement.declares_none.empty())
    out += ": declares none of " + names(statement.declares_none);
  if (statement.complete) out += ", list complete";
  if (statement.dated) out += ", dated " + show(*statement.dated);
  if (statement.valid_until) out += ", valid until " + show(*statement.valid_until);
  if (!statement.reference.empty()) out += ", reference " + statement.reference;
  return out;
}

std::string tell(Call& call, const std::string& kind, const Json& body) {
  if (book::is_step(kind)) return tell_step(call, kind, body);
  if (kind == "batch") {
    const Batch batch = Batch::read(body);
    std::vector<std::string> ids = batch.wood;
    ids.insert(ids.end(), batch.glue.begin(), batch.glue.end());
    ids.insert(ids.end(), batch.finish.begin(), batch.finish.end());
    return fmt::format("batch begun: {}, {}, {}, way of finishing '{}', of {}",
                       count_of(batch.pieces, "piece"), show(batch.size, call.units()), batch.use,
                       batch.schedule.id, join_words(ids));
  }
  if (kind == "wood") {
    const WoodLot lot = WoodLot::read(body);
    return fmt::format("received {}: {}, from {}, lot {}{}", lot.id, lot.common_name, lot.supplier,
                       lot.lot, lot.mark.empty() ? "" : ", mark " + lot.mark);
  }
  if (kind == "tin") {
    const Tin tin = Tin::read(body);
    return fmt::format("received {}: {} ({}), from {}, lot {}", tin.id, tin.name, tin.kind,
                       tin.supplier, tin.lot);
  }
  if (kind == "mix") {
    const Mix mix = Mix::read(body);
    return fmt::format("{} mixed: {}, from {}", mix.id, mix.name,
                       tell_drawn(mix.drawn, call.units()));
  }
  if (kind == "open") return body.text("tin") + " opened";
  if (kind == "withdraw") {
    const Withdrawal word = Withdrawal::read(body);
    return fmt::format(
        "withdrawn: {}{}: {}", join_words(word.ids),
        word.supplier.empty() ? "" : fmt::format(" ({}, lot {})", word.supplier, word.lot),
        word.why);
  }
  if (kind == "recall") {
    const RecallStep step = RecallStep::read(body);
    return fmt::format("recall of entry {}: {}: {}{}", step.withdrawal, name_pieces(step.pieces),
                       step.state == "no-answer" ? "no answer" : step.state,
                       step.how.empty() ? "" : ", " + step.how);
  }
  if (kind == "recall-end") {
    const RecallEnd end = RecallEnd::read(body);
    return fmt::format("recall of entry {} closed: {}", end.withdrawal, end.why);
  }
  if (kind == "scrap") {
    const Scrap scrap = Scrap::read(body);
    return fmt::format("scrapped: {}: {}", name_pieces(scrap.pieces), scrap.why);
  }
  if (book::is_turn(kind)) return tell_turn(Turn::read(kind, body));
  if (kind == "dealt") {
    const Dealt done = Dealt::read(body);
    return fmt::format("what entry {} made wrong dealt with for {}: {}", done.with,
                       name_pieces(done.pieces), done.how);
  }
  if (kind == "answer") {
    const KeptAnswer answer = KeptAnswer::read(body);
    return fmt::format("answered about {}, on the record as of entry {}",
                       name_pieces(answer.pieces), answer.position);
  }
  if (kind == "complaint") {
    const Complaint complaint = Complaint::read(body);
    return fmt::format("complaint about {}: {} ({})", name_pieces(complaint.pieces), complaint.what,
                       complaint.severity);
  }
  if (kind == "rescued") {
    std::vector<std::string> gaps;
    for (const Gap& gap : Rescued::read(body).gaps) gaps.push_back(lower_ascii(gap_words(gap)));
    return "rescued out of a damaged " + Rescued::read(body).source +
           (gaps.empty() ? "" : "; lost: " + join_words(gaps));
  }
  if (kind == "forget") return "a person forgotten";
  if (kind == "statement") return tell_statement(Statement::read(body));
  if (kind == "rags-done") return "rags dealt with";
  if (kind == "note") return "note about " + body.text("about") + ": " + body.text("text");
  if (kind == "sign-off") {
    const SignOff sign_off = SignOff::read(body);
    std::string out = "signed off: " + name_pieces(sign_off.pieces);
    if (!sign_off.stops.empty()) out += "; stops that stood: " + join_words(sign_off.stops);
    return out;
  }
  if (kind == "give") {
    const Gift gift = Gift::read(body);
    return fmt::format("left as {}{}: {}{}, market {}", gift.as,
                       gift.is_to_stranger() ? ", to a stranger" : "", name_pieces(gift.pieces),
                       gift.event.empty() ? "" : ", at " + gift.event, gift.market);
  }
  if (kind == "photograph") return "photograph: " + Photograph::read(body).file_name;
  if (kind == "card") {
    const PrintedCard card = PrintedCard::read(body);
    return fmt::format("care card printed: {}, first food contact {}", name_pieces(card.pieces),
                       card.food_contact
                           ? (card.guessed ? "not before " : "") + show(*card.food_contact)
                           : "not known");
  }
  return kind;
}

}  // namespace

std::string describe(Call& call, const std::string& kind, const Json& body) {
  std::string out = tell(call, kind, body);
  if (const auto note = body.maybe_text("note")) out += ". Note: " + *note;
  if (const auto because = body.maybe_text("because")) out += ". Because: " + *because;
  return out;
}

std::string worker_name(Call& call, std::int64_t worker) {
  for (const Worker& known : book::workers(call.book()))
    if (known.id == worker)
      if (const auto person = call.book().person(known.person)) return person->name;
  return worker == 0 ? "the program" : fmt::format("worker {}", worker);
}

}  // namespace trencher::commands
