// What a recall writes: the notices as PDF and the summary.
#pragma once

#include <string>
#include <vector>

#include "commands/recall_folder.h"
#include "commands/recall_pieces.h"
#include "engine/finding.h"
#include "paper/size.h"

namespace trencher::commands {

// The maker's words for the notices.
struct RecallWords {
  std::string risk, to_do;
  std::vector<std::string> remedies, languages;
  paper::Size sheet = paper::a4;
  bool practice = false;
};

struct RecallCase {
  RecallScope scope;
  std::vector<RecalledPiece> pieces;
  std::vector<RecalledPerson> people;
  RecallNumbers numbers;
};
RecallCase recall_case(Call& call, RecallScope scope);

// A notice for each person whose name the book has, and one for the shop without names.
void write_notices(Call& call, const RecallCase& of, const RecallWords& words,
                   RecallFolder& folder);
// After all other files, which it lists.
std::string recall_summary(Call& call, const RecallCase& of, const RecallWords& words,
                           const std::vector<engine::Finding>& findings,
                           const std::vector<std::string>& files);

// "F1 Clear oil, from Oils, lot C1"
std::vector<std::string> withdrawn_in_words(Call& call, const std::vector<std::string>& ids);

}  // namespace trencher::commands
