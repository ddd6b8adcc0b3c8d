#include <fmt/format.h>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/leaving.h"
#include "commands/people.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// Somebody by name, or a stranger at an event.
void need_recipient(Call& call, Recipient& to, bool stranger, std::string& event) {
  if (stranger && !to.name.empty())
    throw Error::request(fmt::format("--to-stranger contradicts --to '{}'; give one.", to.name));
  if (stranger && !to.contact.empty())
    throw Error::request("--contact goes with --to: it is somebody's.");
  if (stranger)
    call.need(event, "--event", "Where it left, as \"Eastwold market\"");
  else
    call.need(to.name, "--to", "Who gets it");
  if (!to.name.empty()) to.name = checked_text(to.name, "--to", longest_name);
  if (!to.contact.empty()) to.contact = checked_text(to.contact, "--contact", longest_name);
  if (!event.empty()) event = checked_text(event, "--event", longest_name);
}

}  // namespace

int give(Call& call) {
  std::string code, list;
  Recipient to;
  Gift gift;
  bool stranger = false;
  call.word("PIECE", code, "code of a piece, or of a batch");
  call.option("--pieces", "LIST", list, "of a batch: only these boards, as 1-3,5");
  call.option("--to", "NAME", to.name, "who gets it");
  call.flag("--to-stranger", stranger,
            "to somebody who left no name; in a recall only the public notice reaches them");
  call.option("--event", "NAME", gift.event,
              "where it left, as \"Eastwold market\"; no person's name, it stays in the journal");
  call.option("--as", "HOW", gift.as,
              join(ways_of_leaving(), ", ") + "; a gift by a business is no private gift");
  call.option("--market", "M", gift.market, "where it goes: " + join(markets(), ", "));
  call.option("--contact", "TEXT", to.contact,
              "how to reach them, for a recall; as far as they agreed");
  call.flag("--food-business", gift.food_business, "it goes to a business that handles food");
  call.parse();
  call.need(code, "PIECE", "Which piece");
  need_recipient(call, to, stranger, gift.event);
  call.need(gift.as, "--as", {"How does it leave", ways_of_leaving()});
  Call::check_known(gift.as, "Way", ways_of_leaving());
  if (stranger && gift.as == "private-gift")
    throw Error::request(
        "A private gift goes to somebody known, so --to-stranger does not go with it.");
  gift.market = need_market(call, gift.market);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const Pieces named = need_pieces(call, code);
  gift.batch = named.batch;
  gift.pieces = need_leaving(call, named, list, stamp.happened.at);
  const BatchView view = view_batch(call, gift.batch);
  call.demand_because(card_findings(call, view, gift.pieces));
  demand_not_withdrawn(view, gift.pieces);
  const std::int64_t entry = enter_leaving(call, writing, gift, to, stamp);
  writing.commit();
  return call.wrote(
      entry, code_of(named), {},
      fmt::format("Left as {} on {}{}: {} of {}; entry {}. {}", gift.as, show(stamp.happened),
                  stranger ? fmt::format(", to {}", stranger_words(gift.event)) : "",
                  name_pieces(gift.pieces), gift.batch, entry,
                  stranger ? mind_stranger : mind_name));
}

}  // namespace trencher::commands
