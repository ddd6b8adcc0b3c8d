// The checks behind market_findings(), each a pure function of the facts and the rule that asks.
// For engine/market*.cpp alone.
#pragma once

#include <algorithm>
#include <cstdint>
#include <string>
#include <vector>

#include "engine/market.h"

namespace trencher::engine::rules {

// What the record holds for a rule: of the batch as a whole, or of one lot or tin.
struct Outcome {
  Result result = Result::not_known;
  std::string about;   // "W1 Hard maple"; empty: the batch
  std::string reason;  // a whole sentence
  std::vector<std::int64_t> entries;
};
using Outcomes = std::vector<Outcome>;

inline Outcome all_scrapped() {
  return {Result::not_known, "", "Every board of it is scrapped.", {}};
}

// Whether a paper for a market speaks of a board that goes to another: one for no named market
// does.
inline bool covers(std::string_view paper, std::string_view market) {
  return paper.empty() || paper == market || paper == wider_market(market);
}

// Whether a paper's last day is past.
inline bool is_over(const Statement& paper, const MarketFacts& facts) {
  return paper.valid_until &&
         std::chrono::sys_days(*paper.valid_until) < std::chrono::sys_days(facts.today);
}

// Adds an entry, once.
inline void note(std::vector<std::int64_t>& entries, std::int64_t entry) {
  if (std::find(entries.begin(), entries.end(), entry) == entries.end()) entries.push_back(entry);
}

// Of the wood, lot by lot.
Outcomes hard_close_grained_wood(const MarketFacts& facts, const Rule& rule);
Outcomes wood_listed_in_france(const MarketFacts& facts, const Rule& rule);
Outcomes wood_history(const MarketFacts& facts, const Rule& rule);
Outcomes cites_listed_wood(const MarketFacts& facts, const Rule& rule);
Outcomes timber_origin(const MarketFacts& facts, const Rule& rule);

// Of the card and of what the maker has said.
Outcomes batch_code_on_card(const MarketFacts& facts, const Rule& rule);
Outcomes maker_on_card(const MarketFacts& facts, const Rule& rule);
Outcomes card_language(const MarketFacts& facts, const Rule& rule);
Outcomes card_cautions(const MarketFacts& facts, const Rule& rule);
Outcomes cross_contact_declared(const MarketFacts& facts, const Rule& rule);
Outcomes claims_checked(const MarketFacts& facts, const Rule& rule);
Outcomes responsible_person(const MarketFacts& facts, const Rule& rule);
Outcomes offer_text(const MarketFacts& facts, const Rule& rule);

// Of the suppliers' papers, tin by tin.
Outcomes supplier_declaration(const MarketFacts& facts, const Rule& rule);
Outcomes paper_names(const MarketFacts& facts, const Rule& rule);
Outcomes ingredients_listed(const MarketFacts& facts, const Rule& rule);

// Of what was done, and whom the boards came from and went to.
Outcomes traceable_back(const MarketFacts& facts, const Rule& rule);
Outcomes traceable_forward(const MarketFacts& facts, const Rule& rule);
Outcomes batch_documented(const MarketFacts& facts, const Rule& rule);
Outcomes cure_and_inspection(const MarketFacts& facts, const Rule& rule);
Outcomes records_kept(const MarketFacts& facts, const Rule& rule);
Outcomes accident_report(const MarketFacts& facts, const Rule& rule);
Outcomes recall_notice(const MarketFacts& facts, const Rule& rule);

}  // namespace trencher::engine::rules
