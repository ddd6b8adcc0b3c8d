// What may be asked about a board, by the words that somebody types.
#pragma once

#include <string>
#include <vector>

#include "commands/call.h"
#include "engine/evidence.h"

namespace trencher::commands {

struct Topic {
  std::string about;        // an id of engine::answer; of an ingredient its name
  bool ingredient = false;  // by name: engine::answer_ingredient
  bool operator==(const Topic&) const = default;
};

// finish, glue, other, wood, contents, animal-material, and the ids of the table of allergens.
std::vector<std::string> topic_ids();

// `about`: ids, names of the table, or ingredients that a shipped table or a paper in the book
// names; `ingredients`: any name. Each once. Error::request with the nearest ids for a word that is
// none of these: nothing is guessed.
std::vector<Topic> topics_of(Call& call, const std::vector<std::string>& about,
                             const std::vector<std::string>& ingredients);

// The ids that an ingredient of that name speaks of; none where it is itself an id or a list.
std::vector<std::string> ids_spoken_of(const std::string& ingredient);

engine::Answer answer_topic(const engine::PieceContents& contents, const Topic& topic);

}  // namespace trencher::commands
