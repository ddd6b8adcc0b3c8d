// The details of a step as they are typed, for `log` and for `correct`: one spelling of each field.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"

namespace trencher::commands {

// "F1" or "F1=40ml" each: the tins that went into a step or a mix, in order.
std::vector<Drawn> parse_drawn(Call& call, const std::vector<std::string>& typed,
                               const std::vector<std::string>& stocks);
// "80,120,180"
std::vector<int> parse_grits(const std::string& typed);
// Which steps take which details.
bool takes_tins(const std::string& kind);
std::vector<std::string> stocks_of_step(const std::string& kind);

// The pieces that a step at `at` is of: those typed ("1-3"), or all that are here then and go their
// batch's own way. Empty: the whole batch. Error::request where there is none.
std::vector<int> pieces_of_step(const BatchView& view, const Pieces& named,
                                const std::string& typed, Instant at);
// All of them spelled out.
std::vector<int> numbers_of(const Step& step, const Batch& batch);

// Where nobody measured: of a coat area x coats / coverage, shared out over no more than one tin;
// of glue the joints of so many strips.
void estimate_amounts(Step& step, const BatchView& view);

// Error::request where the step cannot have happened in that order: before the batch was begun, a
// coat before the glue-up, a scuff before any coat, on a piece that has left or is signed off.
void check_order(Call& call, const BatchView& view, const Step& step);

}  // namespace trencher::commands
