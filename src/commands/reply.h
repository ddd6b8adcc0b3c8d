// The answers about a piece or the boards of a batch, those that are alike together; and how they
// are kept.
#pragma once

#include <string>
#include <vector>

#include "commands/letter_content.h"
#include "commands/topics.h"

namespace trencher::commands {

struct Reply {
  std::string batch;
  std::vector<Topic> topics;
  std::vector<AnsweredBoards> groups;
};

// Error::request as need_pieces.
Reply reply_about(Call& call, const std::string& code, const std::vector<Topic>& topics);

// Writes down what the record says of those boards, of every shipped topic: an entry for each group
// of boards that are alike in all of them. Returns their numbers.
std::vector<std::int64_t> keep_answer(Call& call, const Reply& reply);

}  // namespace trencher::commands
