#include "engine/losses.h"

#include <fmt/format.h>

#include <algorithm>

#include "domain/text.h"

namespace trencher::engine {

bool Losses::hides_dates() const {
  return std::any_of(things.begin(), things.end(),
                     [](const std::string& id) { return !id.starts_with('W'); });
}

std::string Losses::sentence() const {
  std::vector<std::string> numbers;
  for (const Gap& gap : gaps)
    numbers.push_back(gap.first == gap.last ? fmt::format("{}", gap.first)
                                            : fmt::format("{} to {}", gap.first, gap.last));
  const bool one = gaps.size() == 1 && gaps.front().first == gaps.front().last && !open_end;
  std::string out =
      gaps.empty()
          ? "Entries at the end of the book may be"
          : fmt::format("{} {} of the book{} {}", one ? "Entry" : "Entries", join_words(numbers),
                        open_end ? ", and perhaps its last," : "", one ? "is" : "are");
  out += fmt::format(" lost: what {} said of this is not known", one ? "it" : "they");
  if (!things.empty())
    out +=
        fmt::format(", and nothing is known of {} but what other entries say", join_words(things));
  return out + ".";
}

}  // namespace trencher::engine
