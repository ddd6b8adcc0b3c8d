// The details of a step as they are typed, for `log` and for `correct`: one spelling of each field.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"

namespace trencher::commands {

// "F1" or "F1=40ml" each: the tins that went into a step, in order. `stock` is glue or finish.
std::vector<Drawn> parse_drawn(Call& call, const std::vector<std::string>& typed,
                               const std::string& stock);
// "80,120,180"
std::vector<int> parse_grits(const std::string& typed);
// Which steps take which details.
bool takes_tins(const std::string& kind);
std::string stock_of_step(const std::string& kind);  // glue for a glue-up, else finish

// Where nobody measured: area x coats / coverage, shared out over no more than one tin.
void estimate_amounts(Step& step, const BatchView& view);

// Error::request where the step cannot have happened in that order: before the batch was begun, a
// coat before the glue-up, a scuff before any coat, on a piece that has left or is signed off.
void check_order(Call& call, const BatchView& view, const Step& step);

}  // namespace trencher::commands
