// What the record holds of the suppliers' papers on glue and finish.
#include <fmt/format.h>

#include <algorithm>

#include "domain/text.h"
#include "engine/market_checks.h"
#include "engine/suitability_checks.h"

namespace trencher::engine::rules {
namespace {

// The tins that a rule speaks of: of its kinds where it names some, else glue and finish alike.
std::vector<const Tin*> tins_for(const MarketFacts& facts, const Rule& rule) {
  std::vector<const Tin*> out;
  const bool all = rule.finish.empty() && rule.glue.empty();
  const auto named = [](const std::vector<std::string>& kinds, const std::string& kind) {
    return std::find(kinds.begin(), kinds.end(), kind) != kinds.end();
  };
  for (const Tin* tin : checks::tins_of(facts.made.work, "glue"))
    if (all || named(rule.glue, tin->kind)) out.push_back(tin);
  for (const Tin* tin : checks::tins_of(facts.made.work, "finish"))
    if (all || named(rule.finish, tin->kind)) out.push_back(tin);
  return out;
}

Outcomes by_tin(const MarketFacts& facts, const Rule& rule, const auto& judge) {
  Outcomes out;
  for (const Tin* tin : tins_for(facts, rule)) out.push_back(judge(*tin));
  if (out.empty())
    out.push_back({Result::not_known, "", "No glue and no finish is recorded on it.", {}});
  return out;
}

std::string supplier_of(const Tin& tin) {
  return tin.supplier.empty() ? "its supplier" : tin.supplier;
}

Outcome judge_declaration(const MarketFacts& facts, const Tin& tin) {
  const std::string& market = facts.leaving.market;
  const Statement *good = nullptr, *expired = nullptr, *open = nullptr, *elsewhere = nullptr;
  for (const Statement& statement : facts.made.statements) {
    if (statement.about != "food-contact" || !is_about(statement, tin)) continue;
    if (!covers(statement.market, market))
      elsewhere = &statement;
    else if (is_over(statement, facts))
      expired = &statement;
    else
      (statement.market.empty() ? open : good) = &statement;
  }
  const std::string name = checks::name_of(tin);
  const auto outcome = [&](Result result, const Statement* paper, const std::string& reason) {
    Outcome out{result, name, reason, {}};
    if (paper) out.entries.push_back(paper->entry);
    return out;
  };
  if (good)
    return outcome(Result::held, good,
                   fmt::format("A food-contact paper on {} for '{}' is recorded{}{}.", name,
                               good->market, good->dated ? ", dated " + show(*good->dated) : "",
                               good->valid_until ? ", valid until " + show(*good->valid_until)
                                                 : ", with no day that it ends on"));
  if (open)
    return outcome(Result::not_known, open,
                   fmt::format("The food-contact paper on {} names no market: ask {} whether it is "
                               "for '{}'.",
                               name, supplier_of(tin), market));
  if (expired)
    return outcome(Result::not_held, expired,
                   fmt::format("The food-contact paper on {} was valid until {}: ask {} for a new "
                               "one.",
                               name, show(*expired->valid_until), supplier_of(tin)));
  if (elsewhere)
    return outcome(Result::not_held, elsewhere,
                   fmt::format("The food-contact paper on {} is for '{}', not for '{}'.", name,
                               elsewhere->market, market));
  return outcome(
      Result::not_held, nullptr,
      fmt::format("No food-contact paper on {} is recorded: ask {}.", name, supplier_of(tin)));
}

bool is_word(char c) { return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9'); }

// "meets 21 CFR 172.878" cites "172.878", and not "72.87".
bool cites(const std::string& reference, const std::string& name) {
  const std::string text = lower_ascii(reference), wanted = lower_ascii(name);
  for (auto at = text.find(wanted); at != std::string::npos; at = text.find(wanted, at + 1)) {
    const auto end = at + wanted.size();
    if ((at == 0 || !is_word(text[at - 1])) && (end == text.size() || !is_word(text[end])))
      return true;
  }
  return false;
}

Outcome judge_names(const MarketFacts& facts, const Rule& rule, const Tin& tin) {
  const Statement* silent = nullptr;
  for (const Statement& statement : facts.made.statements) {
    if (!is_about(statement, tin) || !covers(statement.market, facts.leaving.market) ||
        is_over(statement, facts))
      continue;
    silent = &statement;
    for (const std::string& name : rule.names)
      if (cites(statement.reference, name))
        return {Result::held,
                checks::name_of(tin),
                fmt::format("The paper on {} cites '{}'. That tells of what is in the tin, not of "
                            "the board.",
                            checks::name_of(tin), statement.reference),
                {statement.entry}};
  }
  Outcome out{Result::not_held, checks::name_of(tin), "", {}};
  if (silent) out.entries.push_back(silent->entry);
  out.reason = fmt::format(
      "No paper on {} is recorded as citing {}: ask {}, and enter it with "
      "'trencher statement --reference'.",
      checks::name_of(tin), join_words(rule.names, "or"), supplier_of(tin));
  return out;
}

Outcome judge_ingredients(const MarketFacts& facts, const Tin& tin) {
  const Statement* list = nullptr;
  for (const Statement& statement : facts.made.statements)
    if (statement.about == "ingredients" && is_about(statement, tin) && !is_over(statement, facts))
      list = &statement;
  const std::string name = checks::name_of(tin);
  if (!list)
    return {
        Result::not_known,
        name,
        fmt::format("No list of ingredients of {} is recorded: ask {}.", name, supplier_of(tin)),
        {}};
  if (!list->complete)
    return {Result::not_known,
            name,
            fmt::format("The latest list of ingredients of {} is not marked complete.", name),
            {list->entry}};
  return {Result::held,
          name,
          fmt::format("A complete list of the ingredients of {} is recorded{}.", name,
                      list->dated ? ", dated " + show(*list->dated) : ""),
          {list->entry}};
}

}  // namespace

Outcomes supplier_declaration(const MarketFacts& facts, const Rule& rule) {
  return by_tin(facts, rule, [&](const Tin& tin) { return judge_declaration(facts, tin); });
}

Outcomes paper_names(const MarketFacts& facts, const Rule& rule) {
  return by_tin(facts, rule, [&](const Tin& tin) { return judge_names(facts, rule, tin); });
}

Outcomes ingredients_listed(const MarketFacts& facts, const Rule& rule) {
  return by_tin(facts, rule, [&](const Tin& tin) { return judge_ingredients(facts, tin); });
}

}  // namespace trencher::engine::rules
