// How a stop that needs a reason ends its sentence: an import tells such rows by it.
#pragma once

namespace trencher::commands {

inline constexpr const char* asks_because = "To go on all the same, say why with --because TEXT.";

}  // namespace trencher::commands
