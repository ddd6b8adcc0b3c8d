#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/claims.h"
#include "commands/command.h"
#include "commands/people.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// A card that says otherwise than the record now, or is of the life before, must not go along
// unnoticed. Whether a board has a card at all is its maker's choice.
std::vector<engine::Finding> card_findings(Call& call, const Gift& gift) {
  const BatchView view = view_batch(call, gift.batch);
  const std::vector<PrintedCard> cards = book::cards_of(call.book(), gift.batch);
  std::vector<engine::Finding> out;
  const auto add = [&](const char* check, int piece, const std::string& reason) {
    out.push_back({check, "suitability", engine::Result::stop, fmt::format("piece {}", piece),
                   reason, "ours"});
  };
  for (const auto& [piece, claim] : claims_of(call, view, gift.pieces)) {
    const PrintedCard* card = nullptr;
    for (const PrintedCard& printed : cards)
      if (names_piece(printed.pieces, piece)) card = &printed;
    const auto& turns = view.facts.work.turns;
    const bool came_back = std::any_of(turns.begin(), turns.end(), [&](const Turn& turn) {
      return turn.kind == Turn::Kind::take_back && names_piece(turn.pieces, piece) &&
             (!card || turn.entry > card->entry);
    });
    if (came_back)
      add("card-of-this-life", piece,
          fmt::format("Piece {} of {} has no card printed since it came back.", piece, gift.batch));
    else if (card && says_otherwise(*card, claim))
      add("card-outdated", piece,
          fmt::format("The card of piece {} of {} (entry {}) says otherwise than the record now; "
                      "print it anew.",
                      piece, gift.batch, card->entry));
  }
  return out;
}

}  // namespace

int give(Call& call) {
  std::string code, list, to, as, market, contact;
  bool food_business = false;
  call.word("PIECE", code, "code of a piece, or of a batch");
  call.option("--pieces", "LIST", list, "of a batch: only these boards, as 1-3,5");
  call.option("--to", "NAME", to, "who gets it");
  call.option("--as", "HOW", as,
              join(ways_of_leaving(), ", ") + "; a gift by a business is no private gift");
  call.option("--market", "M", market, "where it goes: " + join(markets(), ", "));
  call.option("--contact", "TEXT", contact,
              "how to reach them, for a recall; as far as they agreed");
  call.flag("--food-business", food_business, "it goes to a business that handles food");
  call.parse();
  call.need(code, "PIECE", "Which piece");
  call.need(to, "--to", "Who gets it");
  call.need(as, "--as", "How", ways_of_leaving());
  Call::check_known(as, "Way", ways_of_leaving());
  if (market.empty() && call.settings().markets.size() == 1)
    market = call.settings().markets.front();
  call.need(market, "--market", "Which market", call.settings().markets);
  Call::check_known(market, "Market", markets());
  const std::string name = checked_text(to, "--to");
  if (!contact.empty()) contact = checked_text(contact, "--contact");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const Pieces named = need_pieces(call, code);
  Gift gift;
  gift.batch = named.batch;
  for (const book::PieceState& piece :
       need_pieces_here(call, named, list, stamp.happened.at, "given")) {
    gift.pieces.push_back(piece.number);
    if (!piece.signed_off)
      throw Error::request(
          fmt::format("Piece {} is not signed off, or a correction has reopened its sign-off; "
                      "'trencher sign-off' "
                      "comes before it leaves.",
                      piece.code));
    const auto sign_off = book::effective_entry(call.book(), *piece.signed_off);
    if (sign_off->happened.at > stamp.happened.at)
      throw Error::request(
          fmt::format("Piece {} was signed off on {}, after it is said to have left.", piece.code,
                      show(sign_off->happened)));
  }
  call.demand_because(card_findings(call, gift));
  demand_not_withdrawn(view_batch(call, gift.batch), gift.pieces);
  const book::Person person = person_of(writing, call.book(), name, contact);
  gift.person = person.id;
  gift.seal = book::seal(person);
  gift.as = as;
  gift.market = market;
  gift.food_business = food_business;
  Json body = gift.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("give", body, stamp);
  writing.commit();
  return call.wrote(
      entry, named.whole_batch ? named.batch : code, {},
      fmt::format(
          "Left as {2} on {3}: {0} of {1}; entry {4}. The name stays in the book's vault, not in "
          "its journal.",
          name_pieces(gift.pieces), gift.batch, as, show(stamp.happened), entry));
}

}  // namespace trencher::commands
