// One product's wait after one use of it.
#pragma once

#include <string>
#include <string_view>

#include "engine/schedule.h"
#include "engine/schedule_history.h"

namespace trencher::engine {

using WaitField = std::optional<Figure> Label::*;

std::string_view words_for(WaitField field);
// Nothing where neither label nor usual range gives it; no_figure says so.
std::optional<Wait> wait_of(const Tins& tins, const Use& use, WaitField field,
                            const Conditions& conditions, Direction direction);
std::string no_figure(const Tins& tins, const std::string& tin, WaitField field);
// Of a wait that is never reached: why.
std::string never(const Wait& wait, Units units);

}  // namespace trencher::engine
