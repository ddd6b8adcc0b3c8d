// What is on a piece as the evidence rules ask for it; for `answer` and for the care card.
#pragma once

#include <map>
#include <string>
#include <vector>

#include "commands/shop.h"
#include "engine/evidence.h"

namespace trencher::commands {

// `piece` 0: the whole batch, every step counted; `code` is what it is called in the answer.
engine::PieceContents contents_of(Call& call, const BatchRecord& view, int piece,
                                  const std::string& code);

// Whether any step names only some of the pieces, so that pieces may differ.
bool is_divided(const BatchRecord& view);

// The results of all questions that a paper answers: of each allergen and substance by its id, and
// of animal-material.
std::map<std::string, std::string> all_answers(const engine::PieceContents& contents);

// What a paper says of the piece by the list of a market, as ids: what is contained of
// whatever list (a family only where none of its kinds is), and the rest of that list by its
// answer.
struct ListAnswers {
  std::vector<std::string> contains, none_recorded, not_known;
  bool some_listed = false;     // something contained is on the list
  std::string animal_material;  // the answer to that topic
};
// `answers` as all_answers() gives them; more may be among them.
ListAnswers list_answers(const std::map<std::string, std::string>& answers,
                         const std::string& list);

}  // namespace trencher::commands
