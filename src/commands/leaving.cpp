#include "commands/leaving.h"

#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/claims.h"
#include "commands/people.h"
#include "domain/error.h"

namespace trencher::commands {

std::string need_market(Call& call, std::string typed) {
  const std::vector<std::string>& usual = call.settings().markets;
  if (typed.empty() && usual.size() == 1) typed = usual.front();
  call.need(typed, "--market", Question("Which market", usual).others());
  Call::check_known(typed, "Market", markets());
  return typed;
}

std::vector<int> need_leaving(Call& call, const Pieces& named, const std::string& list,
                              Instant at) {
  std::vector<int> out;
  for (const book::PieceState& piece : need_pieces_here(call, named, list, at, "given")) {
    out.push_back(piece.number);
    if (!piece.signed_off)
      throw Error::request(
          fmt::format("Piece {} is not signed off, or a correction has reopened its sign-off; "
                      "'trencher sign-off' "
                      "comes before it leaves.",
                      piece.code));
    const auto sign_off = book::effective_entry(call.book(), *piece.signed_off);
    if (sign_off->happened.at > at)
      throw Error::request(
          fmt::format("Piece {} was signed off on {} (entry {}), after it is said to have left; "
                      "give --at, or correct that entry.",
                      piece.code, show(sign_off->happened), *piece.signed_off));
  }
  return out;
}

std::vector<engine::Finding> card_findings(Call& call, const BatchView& view,
                                           const std::vector<int>& pieces) {
  const std::string& batch = view.batch().code;
  const std::vector<PrintedCard> cards = book::cards_of(call.book(), batch);
  std::vector<engine::Finding> out;
  const auto add = [&](const char* check, int piece, const std::string& reason) {
    out.push_back({check, "suitability", engine::Result::stop, fmt::format("piece {}", piece),
                   reason, "ours"});
  };
  for (const auto& [piece, claim] : claims_of(call, view, pieces)) {
    const PrintedCard* card = nullptr;
    for (const PrintedCard& printed : cards)
      if (names_piece(printed.pieces, piece)) card = &printed;
    const auto& turns = view.facts.work.turns;
    const bool came_back =
        std::any_of(turns.begin(), turns.end(), [&, number = piece](const Turn& turn) {
          return turn.kind == Turn::Kind::take_back && names_piece(turn.pieces, number) &&
                 (!card || turn.entry > card->entry);
        });
    if (came_back)
      add("card-of-this-life", piece,
          fmt::format("Piece {} of {} has no card printed since it came back.", piece, batch));
    else if (card && says_otherwise(*card, claim))
      add("card-outdated", piece,
          fmt::format("The card of piece {} of {} (entry {}) says otherwise than the record now; "
                      "print it anew.",
                      piece, batch, card->entry));
  }
  return out;
}

std::int64_t enter_leaving(Call& call, book::Writing& writing, Gift gift, const Recipient& to,
                           const book::Stamp& stamp) {
  if (!to.name.empty()) {
    const book::Person person = person_of(writing, call.book(), to.name, to.contact);
    gift.person = person.id;
    gift.seal = book::seal(person);
  }
  Json body = gift.body();
  call.annotate(body);
  return writing.append("give", body, stamp);
}

}  // namespace trencher::commands
