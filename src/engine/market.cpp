#include "engine/market.h"

#include <algorithm>
#include <array>
#include <regex>

#include "domain/error.h"
#include "engine/market_checks.h"
#include "engine/suitability_checks.h"

namespace trencher::engine {
namespace {

bool holds(const std::vector<std::string>& words, std::string_view word) {
  return std::find(words.begin(), words.end(), word) != words.end();
}

bool has_kind(const SuitabilityFacts& made, const char* stock,
              const std::vector<std::string>& kinds) {
  const auto tins = checks::tins_of(made.work, stock);
  return std::any_of(tins.begin(), tins.end(),
                     [&](const Tin* tin) { return holds(kinds, tin->kind); });
}

rules::Outcomes for_the_maker(const MarketFacts&, const Rule&) {
  return {{Result::yours, "", "No entry of the book answers this.", {}}};
}

using Check = rules::Outcomes (*)(const MarketFacts&, const Rule&);

constexpr std::pair<std::string_view, Check> checks_by_name[] = {
    {"hard-close-grained-wood", rules::hard_close_grained_wood},
    {"wood-listed-in-france", rules::wood_listed_in_france},
    {"wood-history", rules::wood_history},
    {"cites-listed-wood", rules::cites_listed_wood},
    {"timber-origin", rules::timber_origin},
    {"batch-code-on-card", rules::batch_code_on_card},
    {"maker-on-card", rules::maker_on_card},
    {"card-language", rules::card_language},
    {"card-cautions", rules::card_cautions},
    {"cross-contact-declared", rules::cross_contact_declared},
    {"claims-checked", rules::claims_checked},
    {"traceable-back", rules::traceable_back},
    {"traceable-forward", rules::traceable_forward},
    {"supplier-declaration", rules::supplier_declaration},
    {"paper-names", rules::paper_names},
    {"ingredients-listed", rules::ingredients_listed},
    {"batch-documented", rules::batch_documented},
    {"cure-and-inspection", rules::cure_and_inspection},
    {"records-kept", rules::records_kept},
    {"responsible-person", rules::responsible_person},
    {"offer-text", rules::offer_text},
    {"accident-report", rules::accident_report},
    {"recall-notice", rules::recall_notice},
    {maker_decides, for_the_maker}};

Check check_named(std::string_view name) {
  for (const auto& [known, check] : checks_by_name)
    if (known == name) return check;
  throw Error::book("The book holds a rule with the check '" + std::string(name) +
                    "', which this program does not know; a newer Trencher wrote it.");
}

}  // namespace

bool applies(const Rule& rule, const SuitabilityFacts& made, const Leaving& leaving) {
  if (!rule.binds_in(leaving.market)) return false;
  if (!rule.use.empty() && !holds(rule.use, made.work.batch.use)) return false;
  if (!rule.leaving.empty() && !holds(rule.leaving, leaving.as)) return false;
  if (rule.food_business && *rule.food_business != leaving.food_business) return false;
  if (!rule.species.empty() &&
      std::none_of(made.wood.begin(), made.wood.end(),
                   [&](const WoodLot& lot) { return holds(rule.species, lot.species); }))
    return false;
  const bool any_kind = rule.finish.empty() && rule.glue.empty();
  return any_kind || has_kind(made, "finish", rule.finish) || has_kind(made, "glue", rule.glue);
}

std::vector<Finding> market_findings(const MarketFacts& facts, std::span<const Rule> rules) {
  std::vector<Finding> out;
  for (const Rule& rule : rules) {
    if (!applies(rule, facts.made, facts.leaving)) continue;
    for (rules::Outcome& outcome : check_named(rule.check)(facts, rule)) {
      std::erase(outcome.entries, 0);  // of what is lost
      std::sort(outcome.entries.begin(), outcome.entries.end());
      if (facts.made.work.losses.any() && outcome.result == Result::not_held) {
        outcome.result = Result::not_known;  // a lost entry may have held it
        outcome.reason += " " + facts.made.work.losses.sentence();
      }
      if (outcome.about.empty()) outcome.about = facts.made.work.batch.code;
      out.push_back({rule.check, "market", outcome.result, std::move(outcome.about),
                     std::move(outcome.reason), rule.cite, rule.key, std::move(outcome.entries)});
    }
  }
  return out;
}

bool has_electronic_address(std::string_view contact) {
  static const std::regex address(
      R"((^|[\s,;<(])(https?://|www\.)?([^\s@,;<>]+@)?[A-Za-z0-9-]+(\.[A-Za-z0-9-]+)*\.[A-Za-z]{2,}([/?#][^\s]*)?($|[\s,;>).]))");
  return std::regex_search(contact.begin(), contact.end(), address);
}

// The 27 members, from memory of the treaties; look again when one joins or leaves.
bool is_in_union(std::string_view country) {
  constexpr std::array<std::string_view, 27> members{
      "AT", "BE", "BG", "CY", "CZ", "DE", "DK", "EE", "ES", "FI", "FR", "GR", "HR", "HU",
      "IE", "IT", "LT", "LU", "LV", "MT", "NL", "PL", "PT", "RO", "SE", "SI", "SK"};
  return std::find(members.begin(), members.end(), country) != members.end();
}

std::vector<std::string> missing_from_offer(const OfferFacts& facts, std::string_view market) {
  std::vector<std::string> out;
  if (facts.address.empty()) out.emplace_back("The maker's postal address is not in the book.");
  if (!has_electronic_address(facts.contact))
    out.emplace_back("The maker's contact names no e-mail or web address.");
  if (!facts.photograph) out.emplace_back("No photograph of the batch is in the book.");
  if (facts.woods.empty()) out.emplace_back("The wood is not recorded.");
  if (wider_market(market) != "eu") return out;
  if (facts.country.empty())
    out.emplace_back(
        "Whether the maker is in the Union is not recorded, so whether a responsible person there "
        "must be named is not known.");
  else if (!is_in_union(facts.country) && facts.responsible.empty())
    out.emplace_back(
        "The maker is outside the Union and no responsible person there is in the book.");
  else if (!is_in_union(facts.country) && !has_electronic_address(facts.responsible))
    out.emplace_back("What is recorded of the responsible person names no e-mail or web address.");
  return out;
}

}  // namespace trencher::engine
