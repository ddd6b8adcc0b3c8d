// What the record holds for the rules of a market: held, not held, not known, or yours to decide.
// Never whether a board is lawful; the words fine and stop are for suitability alone. A wood that a
// list does not name is not listed, which is no stop.
#pragma once

#include <map>
#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "engine/suitability.h"

namespace trencher::engine {

// How the boards leave, as far as a rule asks.
struct Leaving {
  std::string market;
  std::string as;  // gift, sale, private-gift
  bool food_business = false;
};

// What is asked of a distance offer: Reg. (EU) 2023/988 art 19.
struct OfferFacts {
  std::string maker, address, contact;
  std::string country, responsible;  // as in Workshop
  bool photograph = false;           // the batch has one
  std::string woods, size;           // empty: not recorded
};

// The entries that set what the workshop's settings say.
struct ShopEntries {
  std::int64_t maker = 0;  // name, postal address or contact, whichever changed last
  std::int64_t country = 0, responsible = 0, cross_contact = 0;
};

struct MarketFacts {
  SuitabilityFacts made;
  Leaving leaving;
  std::vector<int> pieces;            // those spoken of, none of them scrapped
  std::set<std::string> own_species;  // ids of woods that the maker added
  Workshop shop;
  ShopEntries said;
  std::vector<PrintedCard> cards;
  std::vector<SignOff> sign_offs;
  std::vector<int> signed_off;         // pieces whose sign-off stands, or that have left
  std::map<int, std::int64_t> turned;  // by piece, the entry that split it off or took it back
  std::int64_t maker_since = 0;        // entry from which name and addresses are as in `shop`
  std::vector<Gift> gifts;             // each time that one left, those since taken back too
  std::set<std::string> forgotten;     // persons of gifts who are forgotten
  std::vector<Complaint> complaints;
  std::vector<Finding> claims;          // what the maker's own words claim too much
  std::vector<std::string> card_lines;  // those that a card for this market must carry
  std::optional<Photograph> photograph;
  OfferFacts offer;
  std::optional<Instant> food_contact;
  bool food_contact_guessed = false;
  Instant now;
  Day today;
};

// Whether a rule applies, as far as the record tells: its market (or any), use, way of leaving,
// food business, woods, finishes and glues.
bool applies(const Rule& rule, const SuitabilityFacts& made, const Leaving& leaving);

// Those that apply, in the order of the rules: one for each rule or, where that differs, for each
// lot and tin.
std::vector<Finding> market_findings(const MarketFacts& facts, std::span<const Rule> rules);

// Whether the text names an e-mail or web address: what 'electronic address' means in (EU) 2023/988
// art 9(6).
bool has_electronic_address(std::string_view contact);

// Whether the country (ISO 3166-1) is in the European Union.
bool is_in_union(std::string_view country);

// What an offer to that market still lacks, each as a whole sentence.
std::vector<std::string> missing_from_offer(const OfferFacts& facts, std::string_view market);

}  // namespace trencher::engine
