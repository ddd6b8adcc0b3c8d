#include "commands/card_content.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "commands/contents.h"
#include "commands/markets.h"
#include "engine/evidence_topic.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

std::string use_name(const std::string& use) {
  std::string out = use;
  std::replace(out.begin(), out.end(), '-', ' ');
  out.front() = static_cast<char>(out.front() - 'a' + 'A');
  return out;
}

// Whose list the names on the card follow: where the piece went, else the workshop's first market.
std::string market_of(Call& call, const book::PieceState& piece) {
  if (piece.given) return Gift::read(book::effective_entry(call.book(), *piece.given)->body).market;
  return call.settings().markets.empty() ? "us" : call.settings().markets.front();
}

// The three answers for the card: what is contained by name, and of the market's list the rest.
// Where the whole rest has one answer it is said in one breath.
void lay_answers(engine::PieceContents contents, const std::string& market,
                 paper::CardContent& card) {
  const std::string list = allergen_list_of(market);
  contents.topic_market = list;
  const std::span<const Allergen> allergens = reference::allergens();
  std::vector<std::string> contained;
  std::vector<std::string> none, unknown;
  for (const Allergen& allergen : allergens) {
    const std::string result = engine::answer(contents, allergen.id, allergens).result;
    if (result == engine::contains) {
      contained.push_back(allergen.id);
    } else if (engine::on_list(allergen, list) && allergen.parent.empty()) {
      (result == engine::none_recorded ? none : unknown).push_back(allergen_name(allergen.id));
    }
  }
  for (const std::string& id : contained) {
    // The family is named only where none of its kinds is.
    const bool kind_named = std::any_of(
        contained.begin(), contained.end(),
        [&](const std::string& other) { return reference::find_allergen(other)->parent == id; });
    if (!kind_named) card.contains.push_back(allergen_name(id));
  }
  const bool some_listed = std::any_of(
      contained.begin(), contained.end(),
      [&](const std::string& id) { return engine::on_list(*reference::find_allergen(id), list); });
  const std::string whole = some_listed ? "the rest of that list" : "everything on that list";
  if (none.empty() && !unknown.empty())
    unknown = {whole};
  else if (unknown.empty() && !none.empty())
    none = {whole};
  card.none_recorded = none;
  card.not_known = unknown;
  const std::string animal = engine::answer(contents, "animal-material", allergens).result;
  if (animal == engine::none_recorded)
    card.none_recorded.push_back("animal materials");
  else if (animal == engine::not_known)
    card.not_known.push_back("animal materials");
  card.allergen_list = fmt::format("the food allergen list of {}", market_name(list));
}

void lay_finish(const engine::PieceContents& contents, paper::CardContent& card) {
  const auto add = [](std::vector<std::string>& names, const std::string& name) {
    if (std::find(names.begin(), names.end(), name) == names.end()) names.push_back(name);
  };
  for (const Tin& tin : contents.tins) {
    if (tin.stock == "glue") {
      const GlueKind* kind = reference::find_glue(tin.kind);
      add(card.glues, kind ? kind->name : tin.name);
      continue;
    }
    if (tin.stock == "other") {
      const OtherKind* kind = reference::find_other(tin.kind);
      if (!kind || kind->stays) add(card.others, kind ? kind->name : tin.name);
      continue;
    }
    const FinishKind* kind = reference::find_finish(tin.kind);
    add(card.finishes, kind ? kind->name : tin.name);
    if (!kind || !kind->reoil_months) continue;
    // The finish that wants renewing soonest leads.
    if (card.reoil_months != 0 && card.reoil_months < *kind->reoil_months) continue;
    card.reoil_months = *kind->reoil_months;
    card.reoil_with = kind->name;
    card.self_heating = kind->self_heating_rags;
  }
}

}  // namespace

std::string long_day(Day day) {
  static constexpr std::array months{"January",   "February", "March",    "April",
                                     "May",       "June",     "July",     "August",
                                     "September", "October",  "November", "December"};
  return fmt::format("{} {} {}", unsigned(day.day()), months[unsigned(day.month()) - 1],
                     int(day.year()));
}

PieceCard piece_card(Call& call, const BatchView& view, const book::PieceState& piece) {
  const Batch& batch = view.batch();
  PieceCard out;
  paper::CardContent& card = out.content;
  card.code = piece.code;
  card.use = use_name(batch.use);
  card.size = show(batch.size, call.units());
  card.for_cutting = batch.use == "cutting-board";
  card.for_food_contact = batch.use != "toy";
  for (const WoodLot& lot : view.facts.wood) {
    const paper::CardWood wood{lot.common_name, lot.botanical_name};
    const bool named =
        std::any_of(card.woods.begin(), card.woods.end(),
                    [&](const paper::CardWood& w) { return w.common == wood.common; });
    if (!named) card.woods.push_back(wood);
  }
  const engine::PieceContents contents = contents_of(call, view, piece.number, piece.code);
  lay_finish(contents, card);
  lay_answers(contents, market_of(call, piece), card);
  for (const Step& part : contents.fitted) card.others.push_back(part.text);
  card.used_before = std::any_of(contents.returns.begin(), contents.returns.end(),
                                 [](const Turn& back) { return !back.unused; });
  card.glued = !batch.glue.empty();
  for (const Step& step : view.facts.work.steps)
    if (step.kind == "coat" && names_piece(step.pieces, piece.number))
      card.finished_on = long_day(local_day(step.at));
  out.food_contact =
      food_contact_day(call, dates_of(view, {piece.number}, call.now()), out.guessed);
  if (out.food_contact) {
    card.first_contact =
        out.guessed ? paper::FirstContact::guessed : paper::FirstContact::from_date;
    card.first_contact_on = long_day(*out.food_contact);
  }
  card.maker = call.settings().maker;
  card.address = call.settings().address;
  card.contact = call.settings().contact;
  return out;
}

}  // namespace trencher::commands
