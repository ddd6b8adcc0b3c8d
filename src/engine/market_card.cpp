// What the record holds of the card, and of what the maker has said of the shop.
#include <fmt/format.h>

#include <algorithm>

#include "domain/code.h"
#include "domain/text.h"
#include "engine/card_lines.h"
#include "engine/market_checks.h"

namespace trencher::engine::rules {
namespace {

bool holds(const std::vector<std::string>& words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

// What was printed for the pieces that are spoken of.
struct Printed {
  std::vector<int> without;  // pieces with no card
  std::vector<int> lacking;  // with a card that lacks one of the lines asked for
  std::vector<int> untold;   // with a card of before its lines were kept
  std::vector<int> before;   // with a card of before the maker's name or addresses changed
  std::vector<std::string> lines_lacking;
  std::vector<std::int64_t> entries;
};

// Whether the card is the piece's, and of its present life.
bool is_of(const PrintedCard& card, const MarketFacts& facts, int piece) {
  const auto turn = facts.turned.find(piece);
  return names_piece(card.pieces, piece) &&
         (turn == facts.turned.end() || card.entry > turn->second);
}

// The latest for this market, else the latest of all.
const PrintedCard* card_of(const MarketFacts& facts, int piece) {
  const PrintedCard *any = nullptr, *here = nullptr;
  for (const PrintedCard& one : facts.cards) {
    if (!is_of(one, facts, piece)) continue;
    any = &one;
    if (one.market == facts.leaving.market) here = &one;
  }
  return here ? here : any;
}

// The latest card of each piece against the lines that it must carry.
Printed printed(const MarketFacts& facts, const std::vector<std::string>& lines) {
  Printed out;
  for (const int piece : facts.pieces) {
    const PrintedCard* card = card_of(facts, piece);
    if (!card) {
      out.without.push_back(piece);
      continue;
    }
    note(out.entries, card->entry);
    if (card->entry < facts.maker_since) out.before.push_back(piece);
    if (card->lines.empty()) {
      out.untold.push_back(piece);
      continue;
    }
    bool lacks = false;
    for (const std::string& line : lines) {
      if (holds(card->lines, line)) continue;
      lacks = true;
      if (!holds(out.lines_lacking, line)) out.lines_lacking.push_back(line);
    }
    if (lacks) out.lacking.push_back(piece);
  }
  return out;
}

// What is held of lines of the card: `what` in words ("the code").
Outcome on_cards(const MarketFacts& facts, const std::vector<std::string>& lines,
                 const std::string& what) {
  if (facts.pieces.empty()) return all_scrapped();
  const Printed cards = printed(facts, lines);
  if (!cards.without.empty())
    return {Result::not_held, "",
            fmt::format("No card is printed of {}.", name_pieces(cards.without)), cards.entries};
  if (!cards.lacking.empty())
    return {Result::not_held, "",
            fmt::format("The card of {} lacks: {}.", name_pieces(cards.lacking),
                        join(cards.lines_lacking, ", ")),
            cards.entries};
  if (!cards.untold.empty())
    return {Result::not_known, "",
            fmt::format("The card of {} was printed before the book kept what stood on it.",
                        name_pieces(cards.untold)),
            cards.entries};
  return {Result::held, "", fmt::format("On the card of {}: {}.", name_pieces(facts.pieces), what),
          cards.entries};
}

// Lines that tell who made it: a card of before they changed tells something else.
Outcome makers_lines(const MarketFacts& facts, const std::vector<std::string>& lines,
                     const std::string& what) {
  Outcome out = on_cards(facts, lines, what);
  const Printed cards = printed(facts, lines);
  if (out.result == Result::held && !cards.before.empty()) {
    out.result = Result::not_held;
    out.reason = fmt::format("The card of {} was printed before entry {} changed it: {}.",
                             name_pieces(cards.before), facts.maker_since, what);
  }
  return out;
}

}  // namespace

Outcomes batch_code_on_card(const MarketFacts& facts, const Rule&) {
  Outcome out = on_cards(facts, {"code"}, "the code of batch and piece");
  if (out.result == Result::held)
    out.reason += " Whether it is on the wood itself, the record does not say.";
  return {out};
}

Outcomes maker_on_card(const MarketFacts& facts, const Rule& rule) {
  CardCase card;
  card.as = facts.leaving.as;
  const std::vector<std::string> lines = lines_asked_by(rule, card);
  std::vector<std::string> missing;
  if (facts.shop.address.empty()) missing.emplace_back("a postal address");
  if (holds(lines, "electronic-address") && !has_electronic_address(facts.shop.contact))
    missing.emplace_back("an e-mail or web address");
  if (!missing.empty())
    return {{Result::not_held,
             "",
             fmt::format("The book has not {} of the maker: 'trencher workshop' enters it.",
                         join_words(missing, "nor")),
             {facts.said.maker}}};
  Outcome out = makers_lines(facts, lines, "the maker's name and address");
  out.entries.insert(out.entries.begin(), facts.said.maker);
  return {out};
}

Outcomes card_language(const MarketFacts& facts, const Rule& rule) {
  if (facts.pieces.empty()) return {all_scrapped()};
  Outcome out{Result::held, "", "", {}};
  std::vector<std::string> wanting, languages;
  std::vector<int> without;
  for (const int piece : facts.pieces) {
    std::vector<std::string> printed_in;
    for (const PrintedCard& card : facts.cards) {
      if (!is_of(card, facts, piece)) continue;
      printed_in.push_back(card.language);
      if (!holds(languages, card.language)) languages.push_back(card.language);
      note(out.entries, card.entry);
    }
    if (printed_in.empty()) without.push_back(piece);
    for (const std::string& language : rule.languages)
      if (!holds(printed_in, language) && !holds(wanting, language)) wanting.push_back(language);
  }
  if (!without.empty()) {
    out.result = Result::not_held;
    out.reason = fmt::format("No card is printed of {}.", name_pieces(without));
  } else if (rule.languages.empty()) {
    out.result = Result::yours;
    out.reason = fmt::format(
        "Cards are printed in: {}. Which language buyers there understand easily, you say.",
        join(languages, ", "));
  } else if (!wanting.empty()) {
    out.result = Result::not_held;
    out.reason = fmt::format("Cards are printed in: {}; not for every board in: {}.",
                             join(languages, ", "), join(wanting, ", "));
  } else {
    out.reason = fmt::format("Cards are printed in: {}.", join(rule.languages, ", "));
  }
  return {out};
}

Outcomes card_cautions(const MarketFacts& facts, const Rule&) {
  std::vector<std::string> cautions;
  for (const char* line : {"first-contact", "allergy", "wash", "separate-boards", "dishwasher",
                           "laminated", "grooves", "oiling", "rags"})
    if (holds(facts.card_lines, line)) cautions.emplace_back(line);
  return {on_cards(facts, cautions, "how to use and clean it, and the cautions")};
}

Outcomes cross_contact_declared(const MarketFacts& facts, const Rule&) {
  if (!facts.shop.cross_contact_declared)
    return {{Result::not_held,
             "",
             "What shared rags, brushes and bench also touch is not declared: 'trencher workshop "
             "--cross-contact' says it.",
             {facts.said.cross_contact}}};
  return {{Result::held,
           "",
           fmt::format("Declared of shared rags, brushes and bench: {}.",
                       facts.shop.cross_contact.empty() ? "nothing else"
                                                        : join(facts.shop.cross_contact, ", ")),
           {facts.said.cross_contact}}};
}

Outcomes claims_checked(const MarketFacts& facts, const Rule&) {
  if (facts.claims.empty())
    return {{Result::held,
             "",
             "The card's own sentences make no such claim, and none was found in what it prints of "
             "yours. Words that this program does not print, on a stall or a page, it cannot see.",
             {}}};
  Outcomes out;
  for (const Finding& claim : facts.claims)
    out.push_back({Result::not_held, claim.about, claim.reason, {}});
  return out;
}

Outcomes responsible_person(const MarketFacts& facts, const Rule&) {
  const Workshop& shop = facts.shop;
  if (shop.country.empty())
    return {
        {Result::not_known,
         "",
         "Which country the maker is in is not recorded: 'trencher workshop --country' says it.",
         {facts.said.country}}};
  if (is_in_union(shop.country))
    return {{Result::held,
             "",
             fmt::format("The maker is in the Union ({}).", shop.country),
             {facts.said.country}}};
  if (shop.responsible.empty())
    return {
        {Result::not_held,
         "",
         fmt::format("The maker is in {}, outside the Union, and no responsible person there is "
                     "recorded.",
                     shop.country),
         {facts.said.country}}};
  if (!has_electronic_address(shop.responsible))
    return {{Result::not_held,
             "",
             fmt::format("Recorded as responsible in the Union: {}; no e-mail or web address is in "
                         "it.",
                         shop.responsible),
             {facts.said.responsible}}};
  Outcome out = makers_lines(facts, {"responsible"}, "who is responsible in the Union");
  out.entries.insert(out.entries.begin(), facts.said.responsible);
  return {out};
}

Outcomes offer_text(const MarketFacts& facts, const Rule&) {
  std::vector<std::string> missing = missing_from_offer(facts.offer, facts.leaving.market);
  std::vector<std::int64_t> entries{facts.said.maker};
  if (wider_market(facts.leaving.market) == "eu") {
    entries.push_back(facts.said.country);
    if (!is_in_union(facts.offer.country)) entries.push_back(facts.said.responsible);
    std::sort(entries.begin(), entries.end());
    entries.erase(std::unique(entries.begin(), entries.end()), entries.end());
  }
  if (facts.photograph) entries.push_back(facts.photograph->entry);
  if (missing.empty())
    return {{Result::held, "",
             "For an offer by post or online the book has maker, addresses, what it is and a "
             "picture; 'trencher offer' writes the text.",
             entries}};
  return {{Result::not_held, "",
           "For an offer by post or online something is missing. " + join(missing, " "), entries}};
}

}  // namespace trencher::engine::rules
