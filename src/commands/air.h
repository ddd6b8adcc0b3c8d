// The air round a batch: where its pieces were from when on, with the readings of each place.
#pragma once

#include <map>
#include <memory>
#include <string>
#include <utility>
#include <vector>

#include "commands/call.h"
#include "commands/what_if.h"
#include "engine/schedule.h"

namespace trencher::commands {

// Places that were looked up for one batch and may be for the next. Good while no reading, step
// with a temperature or word about a place is entered.
class KnownPlaces {
 public:
  struct Known {
    Instant from, until;  // the window that it was looked up for
    // What is declared from when on, with the readings; at least one.
    std::vector<std::pair<Instant, std::shared_ptr<const engine::PlaceLog>>> stated;
  };
  // For that window, or a wider one.
  const Known& at(Call& call, const std::string& place, Instant from, Instant until);

 private:
  std::map<std::string, Known> by_id_;
};

// Pieces that were in the same places share their conditions; the batch as a whole has those of
// most.
engine::PieceConditions conditions_of(Call& call, const engine::BatchWork& work,
                                      const WhatIf& what_if, KnownPlaces& known);

// Conditions at a place from now on, of somebody who is there already.
engine::Conditions conditions_at(Call& call, const std::string& place, const WhatIf& what_if);

// Where a piece is at a moment.
std::string place_at(const engine::BatchWork& work, int piece, Instant at);

}  // namespace trencher::commands
