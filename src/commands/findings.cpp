#include <fmt/format.h>

#include <algorithm>

#include "commands/choices.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/markets.h"
#include "commands/printed_text.h"
#include "commands/rulebook.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

namespace {

const std::vector<engine::Result> suitability_order{engine::Result::stop, engine::Result::not_known,
                                                    engine::Result::caution, engine::Result::fine};
const std::vector<engine::Result> market_order{engine::Result::not_held, engine::Result::not_known,
                                               engine::Result::yours, engine::Result::held};

void say_suitability(Call& call, const std::vector<engine::Finding>& found) {
  for (const engine::Result result : suitability_order)
    for (const engine::Finding& finding : found)
      if (finding.kind == "suitability" && finding.result == result)
        call.say_list(fmt::format("{:<10}", to_string(result)),
                      fmt::format("{}: {} [{}: {}]", finding.about, finding.reason, finding.check,
                                  finding.source));
}

void say_market(Call& call, const std::vector<engine::Finding>& found,
                const engine::Leaving& leaving) {
  call.say(fmt::format(
      "What the record holds for the rules of {}, as {}{}:", market_name(leaving.market),
      leaving.as, leaving.food_business ? " to a food business" : ""));
  for (const engine::Result result : market_order)
    for (const SharedFinding& shared : shared_findings(found, result)) {
      std::vector<std::string> rules;
      for (std::size_t i = 0; i < shared.rules.size(); ++i)
        rules.push_back(fmt::format("{}, {}", shared.rules[i], shared.sources[i]));
      call.say_list(fmt::format("{:<16}", to_string(result)),
                    fmt::format("{} [{}]", with_entries(shared.finding), join(rules, "; ")));
    }
  for (const Rule& rule : rules_for(call, leaving.market)) {
    const bool named = std::any_of(found.begin(), found.end(), [&](const engine::Finding& finding) {
      return finding.rule == rule.key;
    });
    if (named && reviewed_long_ago(rule, today(call)))
      call.say_list("Look again:", fmt::format("{} was last reviewed {}.", rule.key,
                                               reviewed_words(rule, today(call))));
  }
  call.say(
      fmt::format("{}. Whether that is enough is not for this program to say: 'trencher rules KEY' "
                  "shows what a rule asks and where to ask.",
                  tally(found)));
}

}  // namespace

int findings(Call& call) {
  std::string code, market, as;
  bool food_business = false;
  call.word("BATCH", code, "code of the batch");
  call.option("--market", "M", market,
              "say what is held for a market's rules: " + join(markets(), ", "));
  call.option("--as", "HOW", as,
              "with --market: " + join(ways_of_leaving(), ", ") +
                  "; left out: sale while some are here, else as they left");
  call.flag("--food-business", food_business, "with --market: to a business that handles food");
  call.parse();
  if (!market.empty()) Call::check_known(market, "Market", markets());
  if (!as.empty()) Call::check_known(as, "Way", ways_of_leaving());
  if (market.empty() && (!as.empty() || food_business))
    throw Error::request("--as and --food-business go with --market: they narrow its rules down.");
  call.need(code, "BATCH",
            Question("Which batch", [&] { return batches_to_choose(call); }).others());
  const BatchView view = view_batch(call, need_pieces(call, code).batch);
  std::vector<engine::Finding> found = engine::suitability(view.facts, view.conditions, call.now());
  for (const auto& claims :
       {claims_in_print(card_texts(call, view), true), claims_in_print(stock_texts(view), false)})
    found.insert(found.end(), claims.begin(), claims.end());
  const engine::Leaving leaving = leaving_for(call, view, market, as, food_business);
  if (!market.empty())
    for (engine::Finding& finding : market_findings_of(call, view, leaving))
      found.push_back(std::move(finding));
  const int status = engine::has_stop(found) ? 1 : 0;
  if (call.json()) {
    call.done(to_json(found));
    return status;
  }
  const std::string& use = view.batch().use;
  call.say(fmt::format("Batch {}: {} for {}.", view.batch().code,
                       count_of(view.batch().pieces, "board"),
                       use.empty() ? "a use that is lost: not known" : "use as " + use));
  say_suitability(call, found);
  if (!market.empty()) say_market(call, found, leaving);
  call.say(
      "These are what the record and the shipped tables say. Local food-contact and market rules, "
      "and the products' labels, come first.");
  return status;
}

}  // namespace trencher::commands
