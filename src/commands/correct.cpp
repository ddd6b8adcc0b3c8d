#include <fmt/format.h>

#include "book/kinds.h"
#include "commands/amend.h"
#include "commands/command.h"
#include "commands/correction_order.h"
#include "commands/corrections.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

int correct(Call& call) {
  std::string typed, why, happened;
  std::vector<std::string> set;
  call.list("--set", "FIELD=VALUE", set,
            "what it should say; FIELD= alone takes an optional value out");
  call.option("--happened", "TIME", happened, "when it really happened");
  parse_amendment(call, typed, why);
  if (happened.empty()) call.need(set, "--set", "What should it say, as temp=18C");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const book::Effective target = need_entry(call, typed);
  const std::int64_t number = target.entry.number;
  if (book::is_amendment(target.entry.kind))
    throw Error::request(
        fmt::format("Entry {} is itself a {}; correct the entry that it names, or strike it.",
                    number, target.entry.kind));
  if (target.entry.kind == "forget")
    throw Error::request(fmt::format(
        "Entry {} says that a person was forgotten; there is nothing to correct in it.", number));
  if (target.struck_by)
    throw Error::request(fmt::format("Entry {} is struck by entry {}; strike that one first.",
                                     number, *target.struck_by));
  const Json mended = corrected_body(call, target, set);
  Json body = Json::object().set("entry", number).set("why", why).set("body", mended);
  body.set("version", book::version_written(target.entry.kind));
  Moment when = target.happened;
  if (!happened.empty()) {
    when = call.zone().parse(happened, call.now(), "--happened");
    if (when.at > call.now() + clock_slack)
      throw Error::request(
          fmt::format("--happened '{}' lies ahead: {}; the book holds what has happened.", happened,
                      show(when)));
  }
  demand_order(call, target, mended, when);
  if (when != target.entry.happened)
    body.set("happened_at", iso(when.at)).set("happened_offset", when.offset_minutes);
  if (mended.canonical() == target.body.canonical() && when == target.happened)
    throw Error::request(fmt::format("Entry {} says that already; nothing would change.", number));
  demand_nothing_vanishes(call, number, &mended);
  Reach reach(call, book::batches_reached(call.book(), number, &mended));
  call.annotate(body);
  const std::int64_t entry = reach.append(call, writing, "correction", body, stamp);
  const Json affected = reach.affected(call);
  writing.commit();
  const int status =
      call.wrote(entry, std::to_string(number), {},
                 fmt::format("Entry {} ({}) is corrected by entry {}; the old text stays "
                             "legible.",
                             number, target.entry.kind, entry),
                 Json::object().set("affected", affected));
  if (!call.json()) reach.say(call, entry);
  return status;
}

}  // namespace trencher::commands
