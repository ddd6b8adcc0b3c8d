#include <fmt/format.h>

#include "commands/choices.h"
#include "commands/command.h"
#include "commands/markets.h"
#include "commands/printed_text.h"
#include "commands/shop.h"
#include "domain/text.h"

namespace trencher::commands {

int findings(Call& call) {
  std::string code, market;
  call.word("BATCH", code, "code of the batch");
  call.option("--market", "M", market,
              "say what is held for a market's rules: " + join(markets(), ", "));
  call.parse();
  if (!market.empty()) Call::check_known(market, "Market", markets());
  call.need(code, "BATCH", "Which batch");
  const BatchView view = view_batch(call, need_pieces(call, code).batch);
  std::vector<engine::Finding> found = engine::suitability(view.facts, view.conditions, call.now());
  for (const auto& claims :
       {claims_in_print(card_texts(call, view), true), claims_in_print(stock_texts(view), false)})
    found.insert(found.end(), claims.begin(), claims.end());
  if (!market.empty())
    found.push_back(
        {"market-rules", "market", engine::Result::not_known, market,
         fmt::format("The rules of {} are not in this program: ask the authority there what "
                     "they want of a board.",
                     market_name(market)),
         "ours"});
  const int status = engine::has_stop(found) ? 1 : 0;
  if (call.json()) {
    call.done(to_json(found));
    return status;
  }
  call.say(fmt::format("Batch {}: {} for use as {}.", view.batch().code,
                       count_of(view.batch().pieces, "board"), view.batch().use));
  for (const engine::Result result : {engine::Result::stop, engine::Result::not_known,
                                      engine::Result::caution, engine::Result::fine})
    for (const engine::Finding& finding : found) {
      if (finding.result != result) continue;
      call.say_list(fmt::format("{:<10}", to_string(result)),
                    fmt::format("{}: {} [{}: {}]", finding.about, finding.reason, finding.check,
                                finding.source));
    }
  call.say(
      "These are what the record and the shipped tables say. Local food-contact and market rules, "
      "and the products' labels, come first.");
  return status;
}

}  // namespace trencher::commands
