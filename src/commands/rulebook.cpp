#include "commands/rulebook.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/card_content.h"
#include "commands/lookup.h"
#include "commands/printed_text.h"
#include "commands/shop_said.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

// The pieces that are not scrapped, how each stands, and each time that some left.
void lay_pieces(Call& call, const BatchView& view, engine::MarketFacts& facts) {
  for (const book::PieceState& piece : book::pieces_of(call.book(), view.batch().code)) {
    if (piece.scrapped) continue;
    facts.pieces.push_back(piece.number);
    if (piece.signed_off || piece.given) facts.signed_off.push_back(piece.number);
    if (piece.turn) facts.turned[piece.number] = *piece.turn;
  }
  facts.gifts = view.gifts;
  for (const Gift& gift : facts.gifts)
    if (!gift.person.empty() && !call.book().person(gift.person))
      facts.forgotten.insert(gift.person);
}

bool same_maker(const Workshop& a, const Workshop& b) {
  return a.maker == b.maker && a.address == b.address && a.contact == b.contact;
}

engine::ShopEntries shop_entries(Call& call) {
  std::vector<book::WorkshopStatement> stated = book::workshop_statements(call.book());
  std::sort(stated.begin(), stated.end(),
            [](const auto& a, const auto& b) { return a.entry < b.entry; });  // the last counts
  const auto since = [&](SameSetting same) {
    return stated.empty() ? book::workshop_entry(call.book()) : set_by(stated, same).back().entry;
  };
  return {
      since(same_maker),
      since([](const Workshop& a, const Workshop& b) { return a.country == b.country; }),
      since([](const Workshop& a, const Workshop& b) { return a.responsible == b.responsible; }),
      since(same_cross_contact)};
}

engine::MarketFacts market_facts(Call& call, const BatchView& view,
                                 const engine::Leaving& leaving) {
  engine::MarketFacts out;
  out.leaving = leaving;
  lay_pieces(call, view, out);
  out.made = facts_about(view, out.pieces);
  for (const Species& own : book::own_species(call.book())) out.own_species.insert(own.id);
  out.shop = call.settings();
  out.said = shop_entries(call);
  out.maker_since = std::max(out.said.maker, out.said.responsible);
  const std::string& code = view.batch().code;
  out.cards = book::cards_of(call.book(), code);
  out.sign_offs = book::sign_offs_of(call.book(), code);
  out.complaints = book::complaints_of(call.book(), code);
  out.claims = claims_in_print(card_texts(call, view), true);
  out.card_lines = card_lines_of(call, view, leaving);
  out.photograph = book::photograph_of(call.book(), code);
  out.offer = offer_facts(call, view);
  const std::vector<engine::Date> dates = dates_of(view, out.pieces, call.now());
  if (const engine::Date* food = find_date(dates, engine::food_contact)) {
    out.food_contact = food->at;
    out.food_contact_guessed = food->guessed;
  }
  out.now = call.now();
  out.today = today(call);
  return out;
}

}  // namespace

engine::OfferFacts offer_facts(Call& call, const BatchView& view) {
  const Workshop& shop = call.settings();
  std::vector<std::string> woods;
  for (const WoodLot& lot : view.facts.wood) woods.push_back(lot.common_name);
  return {shop.maker,        shop.address,
          shop.contact,      shop.country,
          shop.responsible,  book::photograph_of(call.book(), view.batch().code).has_value(),
          join(woods, ", "), show(view.batch().size, Units::metric)};
}

std::vector<Rule> known_rules(Call& call) {
  std::vector<Rule> out(reference::rules().begin(), reference::rules().end());
  if (has_book(call))
    for (OwnRules& own : book::own_rules(call.book()))
      out.insert(out.end(), std::make_move_iterator(own.rules.begin()),
                 std::make_move_iterator(own.rules.end()));
  return out;
}

std::vector<Rule> rules_for(Call& call, const std::string& market) {
  std::vector<Rule> out = known_rules(call);
  std::erase_if(out, [&](const Rule& rule) { return !rule.binds_in(market); });
  return out;
}

bool reviewed_long_ago(const Rule& rule, Day today) {
  return std::chrono::sys_days(today) - std::chrono::sys_days(rule.reviewed) >
         std::chrono::days(365);
}

std::string reviewed_words(const Rule& rule, Day today) {
  return show(rule.reviewed) +
         (reviewed_long_ago(rule, today) ? ", over a year ago: look whether it still stands" : "");
}

Day today(Call& call) { return local_day(call.zone().moment(call.now())); }

engine::Leaving leaving_for(Call& call, const BatchView& view, const std::string& market,
                            const std::string& as, bool food_business) {
  engine::Leaving out{market, as, food_business};
  bool here = false;
  for (const book::PieceState& piece : book::pieces_of(call.book(), view.batch().code)) {
    here = here || piece.here();
    if (!piece.given || piece.scrapped) continue;
    const Gift gift = Gift::read(book::effective_entry(call.book(), *piece.given)->body);
    if (gift.market != market && wider_market(gift.market) != market) continue;
    out.food_business = out.food_business || gift.food_business;
    // Of several ways the one that more rules speak of.
    if (as.empty() && (out.as.empty() || gift.as == "sale")) out.as = gift.as;
  }
  // What is here may be sold yet.
  if (as.empty() && (here || out.as.empty())) out.as = "sale";
  return out;
}

std::vector<engine::Finding> market_findings_of(Call& call, const BatchView& view,
                                                const engine::Leaving& leaving) {
  return engine::market_findings(market_facts(call, view, leaving),
                                 rules_for(call, leaving.market));
}

std::string with_entries(const engine::Finding& finding) {
  std::vector<std::string> entries;
  for (const std::int64_t entry : finding.entries) entries.push_back(std::to_string(entry));
  if (entries.empty()) return finding.reason;
  return fmt::format("{} ({} {})", finding.reason, entries.size() == 1 ? "entry" : "entries",
                     join(entries, ", "));
}

std::vector<SharedFinding> shared_findings(const std::vector<engine::Finding>& found,
                                           engine::Result result) {
  std::vector<SharedFinding> out;
  for (const engine::Finding& finding : found) {
    if (finding.kind != "market" || finding.result != result) continue;
    auto same = std::find_if(out.begin(), out.end(), [&](const SharedFinding& other) {
      return other.finding.reason == finding.reason;
    });
    if (same == out.end()) same = out.insert(out.end(), {finding, {}, {}});
    same->rules.push_back(finding.rule);
    same->sources.push_back(finding.source);
    std::vector<std::int64_t>& entries = same->finding.entries;
    entries.insert(entries.end(), finding.entries.begin(), finding.entries.end());
    std::sort(entries.begin(), entries.end());
    entries.erase(std::unique(entries.begin(), entries.end()), entries.end());
  }
  return out;
}

std::string tally(const std::vector<engine::Finding>& found) {
  std::vector<std::string> out;
  for (const engine::Result result : {engine::Result::held, engine::Result::not_held,
                                      engine::Result::not_known, engine::Result::yours}) {
    const auto count = std::count_if(found.begin(), found.end(), [&](const engine::Finding& one) {
      return one.kind == "market" && one.result == result;
    });
    if (count > 0) out.push_back(fmt::format("{} {}", count, engine::to_string(result)));
  }
  return join(out, ", ");
}

}  // namespace trencher::commands
