#include <fmt/format.h>

#include "commands/command.h"
#include "commands/shop.h"
#include "domain/text.h"

namespace trencher::commands {

int findings(Call& call) {
  std::string code;
  call.word("BATCH", code, "code of the batch");
  call.parse();
  call.need(code, "BATCH", "Which batch");
  const BatchView view = view_batch(call, need_pieces(call, code).batch);
  const std::vector<engine::Finding> found = engine::suitability(view.facts, view.conditions, call.now());
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
  call.say("These are what the record and the shipped tables say. Local food-contact and market rules, "
           "and the products' labels, come first.");
  return status;
}

}  // namespace trencher::commands
