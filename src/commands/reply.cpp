#include "commands/reply.h"

#include <algorithm>
#include <map>

#include "book/kinds.h"
#include "book/queries.h"
#include "commands/claims.h"
#include "commands/contents.h"

namespace trencher::commands {
namespace {

std::vector<engine::Answer> answers_about(Call& call, const BatchRecord& view, int piece,
                                          const std::string& code,
                                          const std::vector<Topic>& topics) {
  const engine::PieceContents contents = contents_of(call, view, piece, code);
  std::vector<engine::Answer> out;
  for (const Topic& topic : topics) out.push_back(answer_topic(contents, topic));
  return out;
}

std::set<std::int64_t> entries_of(const std::vector<engine::Answer>& answers) {
  std::set<std::int64_t> out;
  for (const engine::Answer& answer : answers)
    for (const engine::Because& reason : answer.because)
      if (reason.entry) out.insert(reason.entry);
  return out;
}

std::vector<Topic> every_topic() {
  std::vector<Topic> out;
  for (std::string& id : topic_ids()) out.push_back({std::move(id), false});
  return out;
}

}  // namespace

Reply reply_about(Call& call, const std::string& code, const std::vector<Topic>& topics) {
  const Pieces named = need_pieces(call, code);
  const BatchRecord view = record_of_batch(call, named.batch);
  Reply out{named.batch, topics, {}};
  if (named.whole_batch && !is_divided(view)) {
    out.groups.push_back(
        {{named.batch}, named.numbers, answers_about(call, view, 0, named.batch, topics)});
  } else {
    std::vector<AnsweredBoards> boards;
    for (const book::PieceState& piece : book::pieces_of(call.book(), named.batch))
      if (names_piece(named.numbers, piece.number) && !(named.whole_batch && piece.scrapped))
        boards.push_back({{piece.code},
                          {piece.number},
                          answers_about(call, view, piece.number, piece.code, topics)});
    out.groups = together(std::move(boards));
  }
  for (AnsweredBoards& group : out.groups)
    group.mended = mended(call, view, group.pieces.size() == 1 ? group.pieces.front() : 0,
                          entries_of(group.answers));
  return out;
}

std::vector<std::int64_t> keep_answer(Call& call, const Reply& reply) {
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const BatchView view = view_batch(call, reply.batch);
  std::vector<int> pieces;
  for (const AnsweredBoards& group : reply.groups)
    pieces.insert(pieces.end(), group.pieces.begin(), group.pieces.end());
  std::sort(pieces.begin(), pieces.end());
  std::map<std::string, KeptAnswer> kept;  // one for each way to be alike in every topic
  for (const auto& [piece, claim] : claims_of(call, view, pieces)) {
    KeptAnswer answer;
    answer.batch = reply.batch;
    answer.position = call.book().entry_count();
    lay_claim(claim, answer);
    const std::set<std::int64_t> entries = entries_of(answers_about(
        call, view, piece, book::piece_codes(reply.batch, {piece}).front(), every_topic()));
    answer.rests_on.assign(entries.begin(), entries.end());
    kept.try_emplace(answer.body().canonical(), answer).first->second.pieces.push_back(piece);
  }
  std::vector<std::int64_t> out;
  for (const auto& [said, answer] : kept)
    out.push_back(writing.append("answer", answer.body(), stamp));
  writing.commit();
  return out;
}

}  // namespace trencher::commands
