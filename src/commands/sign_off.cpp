#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/rulebook.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

void demand_right_to_sign(Call& call, std::int64_t worker) {
  for (const Worker& known : book::workers(call.book()))
    if (known.id == worker && known.may_sign_off) return;
  throw Error::request("This worker is not marked to sign off; --by names one who is.");
}

bool share_a_piece(const std::vector<int>& a, const std::vector<int>& b) {
  return std::any_of(b.begin(), b.end(), [&](int piece) { return names_piece(a, piece); });
}

// Coats that lack come next to what stops, lest they are lost among what is always open, and with
// the way to say that fewer are meant.
void raise_missing_coats(const std::string& note, std::vector<engine::Finding>& found) {
  const auto lacks = [](const engine::Finding& finding) {
    return finding.check == "coats-count" && finding.result != engine::Result::fine;
  };
  if (note.empty())
    for (engine::Finding& finding : found)
      if (lacks(finding))
        finding.reason += " Where fewer are meant, --note at the sign-off keeps the reason.";
  const auto rank = [&](const engine::Finding& finding) {
    return finding.result == engine::Result::stop ? 0 : lacks(finding) ? 1 : 2;
  };
  std::stable_sort(found.begin(), found.end(),
                   [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
}

// What stands against letting the pieces go, besides what findings says.
std::vector<engine::Finding> leaving_findings(Call& call, const BatchView& view,
                                              const std::vector<int>& pieces,
                                              const std::vector<engine::Date>& dates,
                                              Instant when) {
  std::vector<engine::Finding> out =
      engine::suitability(facts_about(view, pieces), view.conditions, when);
  raise_missing_coats(call.note(), out);
  const engine::Date* food = find_date(dates, engine::food_contact);
  const std::string about = view.batch().code;
  if (!food || !food->at)
    out.push_back({"food-contact-date", "suitability", engine::Result::not_known, about,
                   "No date of first food contact can be computed.", "ours"});
  else if (*food->at > when)
    out.push_back({"food-contact-date", "suitability", engine::Result::caution, about,
                   fmt::format("First food contact is not before {}{}; the card says so.",
                               show(call.zone().first_day_from(*food->at)),
                               food->guessed ? ", and that is guessed" : ""),
                   "ours"});
  return out;
}

// What the rules of the workshop's markets find, for a sale. None of it is a stop: whether the
// boards may leave is the maker's to decide.
std::vector<engine::Finding> rules_of_markets(Call& call, const std::string& batch) {
  const BatchView view = view_batch(call, batch);
  std::vector<engine::Finding> out;
  for (const std::string& market : call.settings().markets)
    for (engine::Finding& finding :
         market_findings_of(call, view, leaving_for(call, view, market, "sale", false)))
      if (std::none_of(out.begin(), out.end(), [&](const engine::Finding& said) {
            return said.rule == finding.rule && said.about == finding.about &&
                   said.reason == finding.reason;
          }))
        out.push_back(std::move(finding));
  return out;
}

// What the record does not hold, or does not know.
std::vector<engine::Finding> not_in_record(std::vector<engine::Finding> found) {
  std::erase_if(found, [](const engine::Finding& finding) {
    return finding.result == engine::Result::held || finding.result == engine::Result::yours;
  });
  return found;
}

void say_markets(Call& call, const std::string& batch, const std::vector<engine::Finding>& found) {
  if (found.empty()) return;
  call.say(fmt::format("Of the rules of your markets ({}): {}. What the record does not hold:",
                       join(call.settings().markets, ", "), tally(found)));
  for (const engine::Result result : {engine::Result::not_held, engine::Result::not_known})
    for (const SharedFinding& shared : shared_findings(found, result))
      call.say_list(fmt::format("  {}:", to_string(result)),
                    fmt::format("{} [{}]", with_entries(shared.finding), join(shared.rules, ", ")));
  call.say(fmt::format("'trencher findings {} --market {}' shows all of it, and whom to ask.",
                       batch, call.settings().markets.front()));
}

}  // namespace

int sign_off(Call& call) {
  std::string code, list;
  call.word("BATCH", code, "code of the batch, or of one piece");
  call.option("--pieces", "LIST", list, "only these boards, as 1-3,5; left out: all that are here");
  call.parse();
  call.need(code, "BATCH", {"Which batch", [&] { return batches_to_choose(call); }});
  const book::Stamp stamp = call.stamp();
  demand_right_to_sign(call, stamp.worker);
  SignOff sign_off;
  std::vector<engine::Finding> found;
  const auto decide = [&] {
    const Pieces named = need_pieces(call, code);
    const BatchView view = view_batch(call, named.batch);
    sign_off.batch = named.batch;
    sign_off.pieces.clear();
    for (const book::PieceState& piece :
         need_pieces_here(call, named, list, stamp.happened.at, "signed off"))
      if (!piece.signed_off) sign_off.pieces.push_back(piece.number);
    if (sign_off.pieces.empty())
      throw Error::request(
          fmt::format("Nothing of {} is here that is not signed off already.", code));
    for (const Step& step : view.facts.work.steps)
      if (step.at.at > stamp.happened.at && share_a_piece(step.pieces, sign_off.pieces))
        throw Error::request(fmt::format(
            "Entry {} ({}) is of {}, after this sign-off; give --at, or correct that entry.",
            step.entry, step.kind, show(step.at)));
    demand_not_withdrawn(view, sign_off.pieces);
    for (const int piece : sign_off.pieces) {
      const engine::Progress so_far = engine::progress(view.facts.work, piece);
      if (so_far.coats_done == 0 && so_far.coats_planned > 0)
        throw Error::request(fmt::format(
            "Piece {} of {} has no coat logged{}; a board is finished before it is signed off.",
            piece, named.batch,
            standing_at(view, piece, stamp.happened.at).way ? " since it went its own way" : ""));
    }
    const std::vector<engine::Date> dates = dates_of(view, sign_off.pieces, call.now());
    found = leaving_findings(call, view, sign_off.pieces, dates, stamp.happened.at);
    const engine::Date* food = find_date(dates, engine::food_contact);
    sign_off.food_contact = food ? food->at : std::nullopt;
    sign_off.guessed = !food || food->guessed;
    sign_off.stops.clear();
    std::vector<engine::Finding> stops;
    for (const engine::Finding& finding : found)
      if (finding.result == engine::Result::stop) {
        sign_off.stops.push_back(finding.check);
        stops.push_back(finding);
      }
    return stops;
  };
  call.demand_because(decide());
  book::Writing writing(call.book());
  call.demand_because(decide());
  Json body = sign_off.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("sign-off", body, stamp);
  writing.commit();
  const std::vector<engine::Finding> markets_found = rules_of_markets(call, sign_off.batch);
  std::erase_if(found, [](const engine::Finding& f) { return f.result == engine::Result::fine; });
  const int status = call.wrote(
      entry, sign_off.batch, found,
      fmt::format("Signed off: {} of {}; entry {}. What stood open:", name_pieces(sign_off.pieces),
                  sign_off.batch, entry),
      Json::object().set("markets", to_json(not_in_record(markets_found))));
  if (!call.json()) say_markets(call, sign_off.batch, markets_found);
  return status;
}

}  // namespace trencher::commands
