// The rules of markets, shipped and the maker's own, and what the record holds for them.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"
#include "engine/market.h"

namespace trencher::commands {

// Every rule: the shipped ones, then those of the book where there is one.
std::vector<Rule> known_rules(Call& call);
// Those that bind in a market.
std::vector<Rule> rules_for(Call& call, const std::string& market);

// What the book has for an offer from a distance.
engine::OfferFacts offer_facts(Call& call, const BatchView& view);

// "2026-11-25", with a word where that is over a year ago.
std::string reviewed_words(const Rule& rule, Day today);
bool reviewed_long_ago(const Rule& rule, Day today);
Day today(Call& call);

// How boards of the batch leave for a market: as `as` says; else a sale while some are here, or as
// those that are gone left for it.
engine::Leaving leaving_for(Call& call, const BatchView& view, const std::string& market,
                            const std::string& as, bool food_business);

// What the rules of that market find of the boards that are not scrapped.
std::vector<engine::Finding> market_findings_of(Call& call, const BatchView& view,
                                                const engine::Leaving& leaving);

// The reason with the entries that it rests on: "… (entries 3, 12)".
std::string with_entries(const engine::Finding& finding);

// What several rules find alike, once: the reason with the entries, and the rules.
struct SharedFinding {
  engine::Finding finding;
  std::vector<std::string> rules, sources;
};
std::vector<SharedFinding> shared_findings(const std::vector<engine::Finding>& found,
                                           engine::Result result);

// "9 held, 2 not held, 3 not known, 4 yours to decide".
std::string tally(const std::vector<engine::Finding>& found);

}  // namespace trencher::commands
