#include <fmt/format.h>

#include "book/queries.h"
#include "commands/command.h"
#include "commands/shop.h"
#include "commands/upcoming.h"
#include "commands/way.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

int take_back(Call& call) {
  std::string code, list, schedule, place;
  Turn turn;
  turn.kind = Turn::Kind::take_back;
  call.word("PIECE", code, "code of a piece that had left, or of a batch with --pieces");
  call.option("--pieces", "LIST", list, "of a batch: these boards, as 1-3,5");
  call.option("--place", "NAME", place, "where it is now; not needed with one place");
  call.flag("--unused", turn.unused, "neither used nor oiled since it left, as who brings it says");
  call.option("--owner-applied", "WHAT", turn.owner_applied,
              "what its owner put on it: 'nothing', a kind of finish, or in words; left out: not "
              "known");
  declare_way(call, schedule, turn.finish);
  call.parse();
  call.need(code, "PIECE", "Which piece");
  if (!schedule.empty() || !turn.finish.empty()) need_way(call, schedule, turn);
  if (!turn.owner_applied.empty())
    turn.owner_applied = checked_text(turn.owner_applied, "--owner-applied");
  if (turn.unused && !turn.owner_applied.empty() && turn.owner_applied != "nothing")
    throw Error::request(
        fmt::format("--unused contradicts --owner-applied '{}'; give one.", turn.owner_applied));
  turn.place = need_place(call, place, "Where it is now").id;
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const Pieces named = need_pieces(call, code);
  turn.batch = named.batch;
  const auto all = book::pieces_of(call.book(), named.batch);
  turn.pieces =
      list.empty() ? named.numbers : parse_piece_numbers(list, static_cast<int>(all.size()));
  if (list.empty() && named.whole_batch)
    std::erase_if(turn.pieces, [&](int n) { return !all[static_cast<std::size_t>(n - 1)].given; });
  if (turn.pieces.empty())
    throw Error::request(
        fmt::format("No piece of {} has left, so none can come back.", turn.batch));
  for (const int number : turn.pieces) {
    const book::PieceState& piece = all[static_cast<std::size_t>(number - 1)];
    if (!piece.given)
      throw Error::request(
          fmt::format("Piece {} has not left, so it cannot come back.", piece.code));
    const auto gift = book::effective_entry(call.book(), *piece.given);
    if (gift->happened.at > stamp.happened.at)
      throw Error::request(
          fmt::format("Piece {} left on {} (entry {}), after it is said to have "
                      "come back; give --at, or correct that entry.",
                      piece.code, show(gift->happened), *piece.given));
  }
  if (turn.schedule) check_way(call, turn);
  Json body = turn.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("take-back", body, stamp);
  writing.commit();
  const int status = call.wrote(
      entry, turn.batch, {},
      fmt::format("Back in {3}: {0} of {1}; entry {2}. {4}What came back leaves again only "
                  "after a sign-off of its own, with a new card.",
                  name_pieces(turn.pieces), turn.batch, entry, turn.place,
                  turn.unused ? ""
                  : turn.owner_applied.empty()
                      ? "What was put on and what touched it meanwhile is not known. "
                      : "What touched it meanwhile is not known. "));
  if (!call.json()) say_next(call, turn.batch, turn.pieces);
  return status;
}

}  // namespace trencher::commands
