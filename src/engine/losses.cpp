#include "engine/losses.h"

#include <fmt/format.h>

#include <algorithm>

#include "domain/text.h"

namespace trencher::engine {

bool Losses::hides_dates() const {
  return std::any_of(things.begin(), things.end(),
                     [](const std::string& id) { return !id.starts_with('W'); });
}

std::string Losses::numbers() const {
  std::vector<std::string> out;
  for (const Gap& gap : gaps)
    out.push_back(gap.first == gap.last ? fmt::format("{}", gap.first)
                                        : fmt::format("{} to {}", gap.first, gap.last));
  if (open_end) out.push_back("perhaps the last");
  return join_words(out);
}

std::string Losses::sentence() const {
  const bool one = gaps.size() == 1 && gaps.front().first == gaps.front().last && !open_end;
  std::string out =
      fmt::format("{} {} of the book {} lost: what {} said of this is not known",
                  one ? "Entry" : "Entries", numbers(), one ? "is" : "are", one ? "it" : "they");
  if (!things.empty())
    out +=
        fmt::format(", and nothing is known of {} but what other entries say", join_words(things));
  return out + ".";
}

}  // namespace trencher::engine
