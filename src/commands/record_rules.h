// What the batch record says of the rules of markets, and of the cautions of the work.
#pragma once

#include "commands/shop.h"
#include "paper/record.h"

namespace trencher::commands {

// For the workshop's markets and those that boards of the batch went to.
void lay_rules(Call& call, const BatchView& view, paper::RecordContent& record);

void lay_cautions(Call& call, const BatchView& view, paper::RecordContent& record);

}  // namespace trencher::commands
