// What must hold before pieces leave, and the entry by which they do: for one gift or sale, and for
// the sheet of a stall.
#pragma once

#include <string>
#include <vector>

#include "commands/shop.h"

namespace trencher::commands {

// --market, else the workshop's only one. Error::request where it is none that is known.
std::string need_market(Call& call, std::string typed);

// Those of `named` (or of the list typed with it) that may leave at that moment: here, and signed
// off by then. Error::request naming the piece that may not.
std::vector<int> need_leaving(Call& call, const Pieces& named, const std::string& list, Instant at);

// A card that says otherwise than the record now, or is of the life before, must not go along
// unnoticed. Whether a board has a card at all is its maker's choice.
std::vector<engine::Finding> card_findings(Call& call, const BatchView& view,
                                           const std::vector<int>& pieces);

// Who gets them; without a name a stranger.
struct Recipient {
  std::string name, contact;
  bool operator==(const Recipient&) const = default;
};
// Keeps the person in the vault and appends the entry, whose number it returns.
std::int64_t enter_leaving(Call& call, book::Writing& writing, Gift gift, const Recipient& to,
                           const book::Stamp& stamp);

// "The name stays in the book's vault, not in its journal."
inline constexpr const char* mind_name = "The name stays in the book's vault, not in its journal.";
// Of pieces that left to a stranger.
inline constexpr const char* mind_stranger =
    "In a recall only the public notice reaches whoever has what was left without a name.";

}  // namespace trencher::commands
