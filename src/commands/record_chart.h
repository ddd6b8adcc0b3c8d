// The chart of conditions and cure on the batch record.
#pragma once

#include <optional>
#include <vector>

#include "commands/shop.h"
#include "paper/language.h"
#include "paper/record.h"

namespace trencher::commands {

// Nothing where no glue-up or coat is logged.
std::optional<paper::ChartContent> record_chart(Call& call, const BatchView& view,
                                                const std::vector<engine::Date>& dates,
                                                const paper::Language& language);

}  // namespace trencher::commands
