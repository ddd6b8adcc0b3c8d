#include <fmt/format.h>

#include "book/queries.h"
#include "commands/command.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

int scrap(Call& call) {
  std::string code, list;
  Scrap scrap;
  call.word("PIECE", code, "code of a piece, or of a batch");
  call.option("--pieces", "LIST", list, "of a batch: only these boards, as 1-3,5");
  call.option("--why", "TEXT", scrap.why, "what happened to it");
  call.parse();
  call.need(code, "PIECE", "Which piece");
  call.need(scrap.why, "--why", "Why");
  scrap.why = checked_text(scrap.why, "--why");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const std::vector<book::PieceState> pieces =
      need_pieces_here(call, need_pieces(call, code), list, stamp.happened.at, "scrapped");
  scrap.batch = pieces.front().batch;
  for (const book::PieceState& piece : pieces) scrap.pieces.push_back(piece.number);
  Json body = scrap.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("scrap", body, stamp);
  writing.commit();
  return call.wrote(entry, scrap.batch, {},
                    fmt::format("Scrapped: {} of {}; entry {}. A code is not used again.",
                                name_pieces(scrap.pieces), scrap.batch, entry));
}

}  // namespace trencher::commands
