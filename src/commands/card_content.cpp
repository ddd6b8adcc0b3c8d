#include "commands/card_content.h"

#include <fmt/format.h>

#include <algorithm>

#include "commands/contents.h"
#include "commands/markets.h"
#include "commands/named.h"
#include "domain/error.h"
#include "engine/market.h"
#include "engine/schedule.h"
#include "paper/language.h"
#include "reference/names.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

template <typename Item>
void add_once(std::vector<Item>& items, Item item) {
  if (std::find(items.begin(), items.end(), item) == items.end()) items.push_back(std::move(item));
}

// The latest ingredients list that came with the tin or its product; null: none.
const Statement* list_of(const engine::PieceContents& contents, const Tin& tin) {
  const Statement* latest = nullptr;
  for (const Statement& statement : contents.statements)
    if (statement.about == "ingredients" && !statement.ingredients.empty() &&
        is_about(statement, tin) && (!latest || statement.entry > latest->entry))
      latest = &statement;
  return latest;
}

// The finish that wants renewing soonest, the later of two; null: none has an interval.
const FinishKind* renewed_with(const engine::PieceContents& contents) {
  const FinishKind* out = nullptr;
  for (const Tin& tin : contents.tins) {
    const FinishKind* kind = tin.stock == "finish" ? reference::find_finish(tin.kind) : nullptr;
    if (kind && kind->reoil_months && (!out || *kind->reoil_months <= *out->reoil_months))
      out = kind;
  }
  return out;
}

bool stays_in(const Tin& tin) {
  const OtherKind* kind = reference::find_other(tin.kind);
  return !kind || kind->stays;
}

// What is on the piece, told in one language.
class Teller {
 public:
  Teller(const engine::PieceContents& contents, const Claim& claim, const std::string& market,
         paper::CardContent& card)
      : contents_(contents),
        claim_(claim),
        list_(allergen_list_of(market)),
        card_(card),
        words_("care-card", card.language) {}

  void tell() {
    for (const WoodLot& lot : contents_.wood)
      add_once(card_.woods,
               wood_in_words(lot.species, lot.common_name, lot.botanical_name, card_.language));
    for (const Tin& tin : contents_.tins) tell_tin(tin);
    if (const FinishKind* kind = renewed_with(contents_)) {
      card_.reoil_months = *kind->reoil_months;
      card_.reoil_with = kind_in_words(kind->id, card_.language);
    }
    for (const Step& part : contents_.fitted) add_once(card_.others, part.text);
    card_.used_before = std::any_of(contents_.returns.begin(), contents_.returns.end(),
                                    [](const Turn& back) { return !back.unused; });
    tell_answers();
  }

 private:
  std::string kind_of(const Tin& tin) const {
    const std::string kind = kind_in_words(tin.kind, card_.language);
    return kind.empty() ? tin.name : kind;
  }

  void tell_tin(const Tin& tin) {
    const std::string name = kind_of(tin);
    if (tin.stock == "glue") return add_once(card_.glues, name);
    if (tin.stock == "other") {
      if (stays_in(tin)) add_once(card_.others, name);
      return;
    }
    add_once(card_.finishes, name);
    tell_ingredients(tin, name);
  }

  void tell_ingredients(const Tin& tin, const std::string& name) {
    if (const Statement* list = list_of(contents_, tin))
      add_once(card_.ingredients, paper::CardIngredients{name, list->ingredients, list->complete});
  }

  // The three answers: what is contained by name, and of the market's list the rest. Where the
  // whole rest has one answer it is said in one breath.
  void tell_answers() {
    const ListAnswers answers = list_answers(claim_.said, list_);
    for (const std::string& id : answers.contains) card_.contains.push_back(in_words(id));
    for (const std::string& id : answers.none_recorded) card_.none_recorded.push_back(in_words(id));
    for (const std::string& id : answers.not_known) card_.not_known.push_back(in_words(id));
    const std::string list_name =
        reference::name_of(reference::Names::lists, list_, card_.language).value_or(list_);
    if (card_.none_recorded.empty() != card_.not_known.empty()) {
      const std::string whole =
          words_(answers.some_listed ? "rest-of-list" : "all-of-list", {{"list", list_name}});
      (card_.none_recorded.empty() ? card_.not_known : card_.none_recorded).assign(1, whole);
    } else {
      card_.allergen_list = list_name;
    }
    for (const std::string& id : contents_.cross_contact) card_.shared.push_back(in_words(id));
    if (answers.animal_material != engine::contains)
      (answers.animal_material == engine::none_recorded ? card_.none_recorded : card_.not_known)
          .push_back(in_words("animal-material"));
  }

  std::string in_words(const std::string& topic) const {
    return topic_in_words(topic, card_.language);
  }

  const engine::PieceContents& contents_;
  const Claim& claim_;
  std::string list_;  // of food allergens
  paper::CardContent& card_;
  paper::Words words_;
};

// The day of the last coat on the piece; nothing while coats are to come and nobody has signed it
// off without them.
std::optional<Day> finished_on(const BatchView& view, const book::PieceState& piece) {
  const engine::Progress so_far = engine::progress(view.facts.work, piece.number);
  if (!piece.signed_off && so_far.coats_done < so_far.coats_planned) return {};
  std::optional<Day> out;
  for (const Step& step : view.facts.work.steps)
    if (step.kind == "coat" && names_piece(step.pieces, piece.number)) out = local_day(step.at);
  return out;
}

engine::CardCase case_of(const Workshop& shop, const BatchView& view,
                         const engine::PieceContents& contents, const engine::Leaving& wish) {
  engine::CardCase out;
  out.market = wish.market;
  out.as = wish.as;
  out.food_business = wish.food_business;
  out.use = view.batch().use;
  out.glued = !view.batch().glue.empty();
  const FinishKind* renewed = renewed_with(contents);
  out.self_heating = renewed && renewed->self_heating_rags;
  out.has_address = !shop.address.empty();
  out.has_contact = !shop.contact.empty();
  out.has_electronic_address = engine::has_electronic_address(shop.contact);
  out.has_responsible = !shop.responsible.empty() && !engine::is_in_union(shop.country);
  out.has_ingredients = std::any_of(
      contents.tins.begin(), contents.tins.end(),
      [&](const Tin& tin) { return tin.stock == "finish" && list_of(contents, tin) != nullptr; });
  out.has_shared = !contents.cross_contact.empty();
  out.has_others = !contents.fitted.empty() ||
                   std::any_of(contents.tins.begin(), contents.tins.end(), [](const Tin& tin) {
                     return tin.stock == "other" && stays_in(tin);
                   });
  return out;
}

std::string cure_for(const std::string& line, const std::string& code) {
  if (line == "address")
    return "the maker's postal address, and the book has none; give it with 'trencher workshop "
           "--address'";
  if (line == "electronic-address")
    return "an e-mail or web address of the maker, and the contact in the book names none; give "
           "one with 'trencher workshop --contact'";
  if (line == "code") return fmt::format("a code, and {} has none", code);
  return fmt::format("the line '{}', and the book cannot fill it", line);
}

}  // namespace

engine::Leaving card_wish(Call& call, const BatchView& view, const book::PieceState& piece,
                          const std::string& market, const std::string& as) {
  const std::vector<std::string>& own = call.settings().markets;
  engine::Leaving out{own.empty() ? "us" : own.front(), "sale", false};
  for (const Gift& gift : view.gifts)
    if (gift.entry == piece.given) out = {gift.market, gift.as, gift.food_business};
  if (!market.empty()) out.market = market;
  if (!as.empty()) out.as = as;
  return out;
}

PieceCard piece_card(Call& call, const BatchView& view, const book::PieceState& piece,
                     const Claim& claim, const engine::Leaving& wish,
                     const std::vector<std::string>& languages) {
  const Workshop& shop = call.settings();
  const engine::PieceContents contents = contents_of(call, view, piece.number, piece.code);
  PieceCard out;
  out.food_contact = claim.food_contact;
  out.guessed = claim.guessed;
  out.lines = case_of(shop, view, contents, wish);
  const std::optional<Day> finished = finished_on(view, piece);
  for (const std::string& language : languages) {
    const paper::Language words(language);
    paper::CardContent card;
    card.language = language;
    card.code = piece.code;
    card.use = use_in_words(view.batch().use, language);
    card.size = words.measure(show(view.batch().size, call.units()));
    card.glued = !view.batch().glue.empty();
    card.us_measures = call.units() == Units::us && allergen_list_of(wish.market) == "us";
    if (finished) card.finished_on = paper::unbroken(words.long_date(*finished));
    if (out.food_contact) {
      card.first_contact =
          out.guessed ? paper::FirstContact::guessed : paper::FirstContact::from_date;
      card.first_contact_on = paper::unbroken(words.long_date(*out.food_contact));
    }
    card.maker = shop.maker;
    card.address = shop.address;
    card.contact = shop.contact;
    card.responsible = shop.responsible;
    Teller(contents, claim, wish.market, card).tell();
    card.lines = engine::card_lines(out.lines);
    out.contents.push_back(std::move(card));
  }
  return out;
}

void need_lines(const std::vector<Rule>& rules, const BatchView& view, const PieceCard& card,
                const engine::Leaving& wish, const std::vector<std::string>& printed,
                const std::string& code) {
  for (const Rule& rule : rules) {
    if (!engine::applies(rule, view.facts, wish)) continue;
    for (const std::string& line : engine::lines_asked_by(rule, card.lines))
      if (std::find(printed.begin(), printed.end(), line) == printed.end())
        throw Error::request(fmt::format("By {} ({}) the card of {} must carry {}.", rule.key,
                                         rule.cite, code, cure_for(line, code)));
  }
}

std::vector<std::string> card_lines_of(Call& call, const BatchView& view,
                                       const engine::Leaving& leaving) {
  const auto lines_of = [&](int piece) {
    const engine::PieceContents contents = contents_of(call, view, piece, view.batch().code);
    return engine::card_lines(case_of(call.settings(), view, contents, leaving));
  };
  std::vector<std::string> out = lines_of(0);
  if (!is_divided(view)) return out;
  for (const book::PieceState& piece : book::pieces_of(call.book(), view.batch().code)) {
    const std::vector<std::string> own = lines_of(piece.number);
    std::erase_if(out, [&](const std::string& line) {
      return std::find(own.begin(), own.end(), line) == own.end();
    });
  }
  return out;
}

}  // namespace trencher::commands
