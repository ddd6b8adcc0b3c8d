#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "book/kinds.h"
#include "book/queries.h"
#include "commands/amend.h"
#include "commands/cautions.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/step_options.h"
#include "commands/upcoming.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// Stops that must not be accepted silently; what the cold or the clock did is simply recorded.
constexpr std::array asks_because{"tin-empty", "tin-out-of-date", "pot-life",
                                  "tin-not-yet-received"};
constexpr std::array never_overridden{"tin-withdrawn", "wood-withdrawn"};

bool is_among(const std::string& check, const auto& checks) {
  return std::find(checks.begin(), checks.end(), check) != checks.end();
}

struct Typed {
  std::string batch, pieces, temp, rh, surface_temp, wood_temp, tin_temp, grit, rounds, strips, to,
      what;
  std::vector<std::string> from;
  bool sound = false, not_sound = false;
};

void declare(Call& call, const std::string& kind, Typed& typed) {
  call.word("BATCH", typed.batch, "code of the batch, as 26-014, or of one piece");
  call.option("--pieces", "LIST", typed.pieces,
              "only these boards, as 1-3,5; left out: all that are here and go the batch's way");
  if (takes_tins(kind))
    call.list("--from", "ID[=AMOUNT]", typed.from,
              kind == "fit"
                  ? "what was fitted or glued on, as X1 or G1=10g"
                  : "tin and what was taken, as F1 or F1=40ml; left out: the batch's own");
  if (takes_tins(kind) || kind == "move") {
    call.option("--temp", "TEMPERATURE", typed.temp, "of the air, as 18C or 64F");
    call.option("--rh", "PERCENT", typed.rh, "relative humidity of the air");
  }
  if (takes_tins(kind)) {
    call.option("--surface-temp", "TEMPERATURE", typed.surface_temp, "of the wood's surface");
    call.option("--wood-temp", "TEMPERATURE", typed.wood_temp, "of the wood");
    call.option("--tin-temp", "TEMPERATURE", typed.tin_temp, "of what is in the tin");
  }
  if (kind == "glue-up")
    call.option("--strips", "N", typed.strips,
                "in one board: for an estimate of the glue, where none is given");
  if (kind == "sand" || kind == "scuff") call.option("--grit", "LIST", typed.grit, "as 80,120,180");
  if (kind == "raise-grain")
    call.option("--rounds", "N", typed.rounds, "times wetted; one if left out");
  if (kind == "move") call.option("--to", "PLACE", typed.to, "where the batch goes");
  if (kind == "inspect") {
    call.flag("--sound", typed.sound, "glue lines, surface and smell are as they should be");
    call.flag("--not-sound", typed.not_sound, "something is wrong");
  }
  if (kind == "inspect" || kind == "fit")
    call.option("--what", "TEXT", typed.what,
                kind == "fit" ? "what was fitted, where it is not received as a tin or thing"
                              : "what was seen");
}

Step read_step(const std::string& kind, const Typed& typed) {
  Step step;
  step.kind = kind;
  if (!typed.temp.empty()) step.temp = parse_temperature(typed.temp, "--temp");
  if (!typed.rh.empty()) step.rh = parse_humidity(typed.rh, "--rh");
  if (step.rh && !step.temp)
    throw Error::request(
        "--rh is given without --temp; humidity says little without the temperature.");
  if (!typed.surface_temp.empty())
    step.surface_temp = parse_temperature(typed.surface_temp, "--surface-temp");
  if (!typed.wood_temp.empty()) step.wood_temp = parse_temperature(typed.wood_temp, "--wood-temp");
  if (!typed.tin_temp.empty()) step.tin_temp = parse_temperature(typed.tin_temp, "--tin-temp");
  if (!typed.strips.empty())
    step.strips = static_cast<int>(parse_count(typed.strips, "--strips", 2, 200));
  if (!typed.grit.empty()) step.grits = parse_grits(typed.grit);
  if (kind == "raise-grain")
    step.rounds =
        typed.rounds.empty() ? 1 : static_cast<int>(parse_count(typed.rounds, "--rounds", 1, 9));
  if (kind == "inspect") {
    if (typed.sound == typed.not_sound)
      throw Error::request("inspect needs either --sound or --not-sound: what did you find?");
    step.result = typed.sound ? "sound" : "not-sound";
  }
  if (!typed.what.empty()) step.text = checked_text(typed.what, "--what");
  if (kind == "fit" && step.text.empty() && typed.from.empty())
    throw Error::request(
        "fit needs --from ID or --what TEXT: what was fitted to the board? 'trencher receive "
        "other' "
        "enters it with its papers.");
  return step;
}

void fill_tins(Call& call, Step& step, const Typed& typed, const BatchView& view) {
  if (!takes_tins(step.kind)) return;
  step.drawn = parse_drawn(call, typed.from, stocks_of_step(step.kind));
  if (!step.drawn.empty() || step.kind == "fit") return;
  if (step.kind == "glue-up") {
    if (view.batch().glue.size() == 1) step.drawn.push_back({view.batch().glue.front(), {}, false});
  } else if (ways_of(view, step.pieces, step.at.at).size() == 1) {
    engine::BatchWork work = view.facts.work;
    work.pieces = numbers_of(step, view.batch());
    const engine::Progress so_far = engine::progress(work, 0);
    if (!so_far.next_tin.empty()) step.drawn.push_back({so_far.next_tin, {}, false});
  }
  if (step.drawn.empty())
    throw Error::request(fmt::format(
        "The record does not tell which tin this {} is from: the planned ones are on, or there are "
        "several; name it with --from ID.",
        step.kind));
}

std::string said(const Step& step, const BatchView& view, std::int64_t entry, Units units) {
  std::vector<std::string> parts;
  for (const Drawn& part : step.drawn) {
    std::string text = fmt::format("{} {}", part.tin, view.facts.work.tins.at(part.tin).name);
    if (part.amount)
      text +=
          fmt::format(", {}{}", show(*part.amount, units), part.estimated ? " (estimated)" : "");
    parts.push_back(std::move(text));
  }
  return fmt::format("{}: {}{}{}, {}; entry {}.", step.batch, step.kind,
                     step.pieces.empty() ? "" : " on " + name_pieces(step.pieces),
                     parts.empty() ? "" : " from " + join_words(parts), show(step.at), entry);
}

// Entered after a piece that it touches was signed off, had a card or left.
bool comes_late(Call& call, const Step& step, const BatchView& view) {
  const auto cards = book::cards_of(call.book(), step.batch);
  return std::any_of(view.pieces.begin(), view.pieces.end(), [&](const book::PieceState& piece) {
    const bool carded = card_of(cards, piece) != nullptr;
    return names_piece(step.pieces, piece.number) && (piece.signed_off || piece.given || carded);
  });
}

// A step as it is about to be logged, by the book as it stood.
struct Decided {
  BatchView view;
  Step step;
  std::vector<engine::Finding> found;
};

int log_step(Call& call, const std::string& kind) {
  Typed typed;
  declare(call, kind, typed);
  call.parse();
  call.need(typed.batch, "BATCH", {"Which batch", [&] { return batches_to_choose(call); }});
  if (kind == "move") call.need(typed.to, "--to", "Where to");
  const book::Stamp stamp = call.stamp();
  const Pieces named = need_pieces(call, typed.batch);
  KnownShop known;
  const auto stops_of = [](const std::vector<engine::Finding>& found) {
    std::vector<engine::Finding> out;
    for (const engine::Finding& finding : found)
      if (finding.result == engine::Result::stop && is_among(finding.check, never_overridden))
        throw Error::request(finding.reason + " No reason overrides that.");
      else if (finding.result == engine::Result::stop && is_among(finding.check, asks_because))
        out.push_back(finding);
    return out;
  };
  const auto decide = [&] {
    known = {};
    Decided out{view_batch(call, named.batch, known), read_step(kind, typed), {}};
    BatchView& view = out.view;
    Step& step = out.step;
    step.at = stamp.happened;
    step.batch = view.batch().code;
    step.pieces = pieces_of_step(call, view, named, typed.pieces, step.at.at);
    const int one = step.pieces.empty() ? 1 : step.pieces.front();
    step.place = kind == "move" ? need_place(call, typed.to, "Where to").id
                                : place_at(view.facts.work, one, step.at.at);
    check_order(call, view, step);
    fill_tins(call, step, typed, view);
    std::vector<std::string> tins;
    for (const Drawn& part : step.drawn) tins.push_back(part.tin);
    add_tins(call, view, tins, known);
    estimate_amounts(step, view);
    step.rags = heats_by_itself(step, view);
    out.found = engine::step_findings(view.facts, step, view.conditions);
    call.demand_because(stops_of(out.found));
    return out;
  };
  const book::Book::Tip tip = call.book().tip();
  Decided decided = decide();  // asking comes before any lock
  book::Writing writing(call.book());
  if (call.book().tip() != tip) decided = decide();  // somebody wrote meanwhile
  const auto& [view, step, found] = decided;
  Json body = step.body();
  call.annotate(body);
  Reach reach(call,
              comes_late(call, step, view) ? std::vector{step.batch} : std::vector<std::string>{});
  const std::int64_t entry = reach.append(call, writing, kind, body, stamp);
  writing.commit();
  // On screen only what wants attention now; what is not known yet stands in `findings`.
  std::vector<engine::Finding> shown = found;
  if (!call.json())
    std::erase_if(shown,
                  [](const engine::Finding& f) { return f.result == engine::Result::not_known; });
  const int status = call.wrote(entry, step.batch, shown, said(step, view, entry, call.units()));
  if (call.json()) return status;
  if (status != 0 && call.because().empty())
    call.say(fmt::format(
        "It is entered all the same. Was it a slip? 'trencher strike {} --why TEXT' takes it back.",
        entry));
  for (const std::string& of : kinds_drawn(step, view)) {
    if (const auto kind_of = view.facts.finish_kinds.find(of);
        kind_of != view.facts.finish_kinds.end())
      for (const Caution& caution : finish_cautions(kind_of->second))
        call.say_list("Mind:", caution.text);
    if (const auto kind_of = view.facts.glue_kinds.find(of); kind_of != view.facts.glue_kinds.end())
      for (const Caution& caution : glue_cautions(kind_of->second))
        call.say_list("Mind:", caution.text);
  }
  if (step.kind != "coat" && step.rags)
    call.say_list("Mind:", rag_caution("a drying oil or varnish").text);
  if (kind == "sand" || kind == "scuff") call.say_list("Mind:", dust_caution().text);
  reach.say(call, entry);
  known.forget_use(step);
  call.book().hold();  // one lock for all that is asked, as before the writing
  say_next(call, view_batch(call, step.batch, known), step.pieces);
  return status;
}

int log_reading(Call& call) {
  std::string batch_code, place, temp, rh;
  call.word("BATCH", batch_code, "the batch whose place it is; or --place");
  call.option("--place", "NAME", place, "the place");
  call.option("--temp", "TEMPERATURE", temp, "of the air, as 18C or 64F");
  call.option("--rh", "PERCENT", rh, "relative humidity of the air");
  call.parse();
  call.need(temp, "--temp", "Temperature");
  const book::Stamp stamp = call.stamp();
  Readings readings;
  if (!place.empty() && !batch_code.empty())
    throw Error::request(
        fmt::format("A reading is of one place: both --place {} and the batch '{}' are named.",
                    place, batch_code));
  if (!place.empty()) {
    readings.place = need_place(call, place, "Which place").id;
  } else {
    call.need(batch_code, "BATCH",
              {"Which batch, or --place NAME", [&] { return batches_to_choose(call); }});
    const Pieces named = need_pieces(call, batch_code);
    readings.place = place_at(view_batch(call, named.batch).facts.work, named.numbers.front(),
                              stamp.happened.at);
  }
  Reading reading{0, stamp.happened.at, parse_temperature(temp, "--temp"), {}};
  if (!rh.empty()) reading.rh = parse_humidity(rh, "--rh");
  readings.samples.push_back(reading);
  book::Writing writing(call.book());
  Reach reach(call, book::batches_at(call.book(), readings.place));
  Json body = readings.body();
  call.annotate(body);
  const std::int64_t entry = reach.append(call, writing, "readings", body, stamp);
  const std::vector<engine::Finding>& found = reach.passed_by();
  writing.commit();
  const int status = call.wrote(
      entry, readings.place, found,
      fmt::format("Reading in {}: {}{}, {}; entry {}.", readings.place,
                  show(reading.temp, call.units()), reading.rh ? ", " + show(*reading.rh) : "",
                  show(stamp.happened), entry));
  if (call.json()) return status;
  reach.say(call, entry);
  if (!batch_code.empty()) say_next(call, need_pieces(call, batch_code).batch, {});
  return status;
}

int log_rags_done(Call& call) {
  std::string code;
  call.word("BATCH", code, "code of the batch");
  call.parse();
  call.need(code, "BATCH", {"Which batch", [&] { return batches_to_choose(call); }});
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const RagsDone done{need_batch(call, code).code, book::open_rags(call.book(), code)};
  if (done.coats.empty())
    throw Error::request(fmt::format("Batch {} has no rags that wait to be dealt with.", code));
  Json body = done.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("rags-done", body, stamp);
  writing.commit();
  const int status = call.wrote(
      entry, code, {},
      fmt::format("{}: rags of {} dealt with; entry {}.", code,
                  count_of(static_cast<std::int64_t>(done.coats.size()), "coat"), entry));
  if (!call.json()) say_next(call, done.batch, {});
  return status;
}

int log_note(Call& call) {
  std::string id, text;
  call.word("ID", id, "a piece, batch, tin, thing, lot or product");
  call.word("TEXT", text, "the note; it stays in the journal and cannot be forgotten");
  call.parse();
  call.need(id, "ID", "About what");
  call.need(text, "TEXT", "The note");
  if (book::class_of(call.book(), id).empty()) id = code_of(need_pieces(call, id));
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  Json body = Json::object().set("about", id).set("text", checked_text(text, "The note"));
  call.annotate(body);
  const std::int64_t entry = writing.append("note", body, stamp);
  writing.commit();
  return call.wrote(entry, id, {}, fmt::format("Note about {}; entry {}.", id, entry));
}

}  // namespace

int log(Call& call) {
  const std::string kind =
      call.choose("WHAT", {"glue-up", "fit", "sand", "raise-grain", "coat", "scuff", "inspect",
                           "move", "reading", "rags-done", "note"});
  if (kind == "reading") return log_reading(call);
  if (kind == "rags-done") return log_rags_done(call);
  if (kind == "note") return log_note(call);
  return log_step(call, kind);
}

}  // namespace trencher::commands
