#include <fmt/format.h>

#include "book/queries.h"
#include "commands/command.h"
#include "commands/shop.h"
#include "commands/upcoming.h"
#include "commands/way.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

int split_off(Call& call) {
  std::string code, list, schedule;
  Turn turn;
  call.word("PIECE", code, "code of a piece, or of a batch with --pieces");
  call.option("--pieces", "LIST", list, "of a batch: these boards, as 1-3,5");
  declare_way(call, schedule, turn.finish);
  call.option("--why", "TEXT", turn.why, "why it goes another way");
  call.parse();
  call.need(code, "PIECE", "Which piece");
  need_way(call, schedule, turn);
  if (!turn.why.empty()) turn.why = checked_text(turn.why, "--why");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const std::vector<book::PieceState> pieces =
      need_pieces_here(call, need_pieces(call, code), list, stamp.happened.at, "split off");
  turn.batch = pieces.front().batch;
  for (const book::PieceState& piece : pieces) turn.pieces.push_back(piece.number);
  check_way(call, turn);
  Json body = turn.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("split", body, stamp);
  writing.commit();
  const int status = call.wrote(
      entry, turn.batch, {},
      fmt::format(
          "Their own way from now on: {} of {}, '{}' with {}; entry {}. They keep their codes "
          "and what is on them; log their steps by code.",
          name_pieces(turn.pieces), turn.batch, turn.schedule->name, join_words(turn.finish),
          entry));
  if (!call.json()) say_next(call, turn.batch, turn.pieces);
  return status;
}

}  // namespace trencher::commands
