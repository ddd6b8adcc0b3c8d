// The details of a step as they are typed, for `log` and for `correct`: one spelling of each field.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"

namespace trencher::commands {

// "F1" or "F1=40ml" each: the tins that went into a step or a mix, in order.
std::vector<Drawn> parse_drawn(Call& call, const std::vector<std::string>& typed,
                               const std::vector<std::string>& stocks);
// What went in, where all of it is known and by one measure.
std::optional<Amount> sum_of(const std::vector<Drawn>& drawn);
// "80,120,180"
std::vector<int> parse_grits(const std::string& typed);
// Which steps take which details.
bool takes_tins(const std::string& kind);
std::vector<std::string> stocks_of_step(const std::string& kind);

// The pieces that a step at `at` is of: those typed ("1-3"), or all that are here then and go their
// batch's own way. Empty: the whole batch. Error::request where there is none.
std::vector<int> pieces_of_step(Call& call, const BatchView& view, const Pieces& named,
                                const std::string& typed, Instant at);
// All of them spelled out.
std::vector<int> numbers_of(const Step& step, const Batch& batch);

// Where nobody measured: of a coat area x coats / coverage, shared out over no more than one tin;
// of glue the joints of so many strips.
void estimate_amounts(Step& step, const BatchView& view);

// The kinds of what a step draws from, of a mix those of its sources, each once.
std::vector<std::string> kinds_drawn(const Step& step, const BatchView& view);
// Whether its rags can heat by themselves: a coat of such a finish, or a scuff over one.
bool heats_by_itself(const Step& step, const BatchView& view);

// Error::request where the step cannot have happened in that order: before the batch was begun, a
// coat before the glue-up, a scuff before any coat, on a piece that has left or is signed off.
void check_order(Call& call, const BatchView& view, const Step& step);

}  // namespace trencher::commands
