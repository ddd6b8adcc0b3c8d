#include <fmt/format.h>

#include "commands/amend.h"
#include "commands/command.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

int strike(Call& call) {
  std::string typed, why;
  parse_amendment(call, typed, why);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const book::Effective target = need_entry(call, typed);
  const std::int64_t number = target.entry.number;
  if (target.struck_by)
    throw Error::request(
        fmt::format("Entry {} is struck already, by entry {}.", number, *target.struck_by));
  if (target.entry.kind == "forget")
    throw Error::request(
        fmt::format("Entry {} says that a person was forgotten; that cannot be undone.", number));
  demand_nothing_vanishes(call, number, nullptr);
  Reach reach(call, book::batches_reached(call.book(), number));
  Json body = Json::object().set("entry", number).set("why", why);
  call.annotate(body);
  const std::int64_t entry = reach.append(call, writing, "strike", body, stamp);
  const Json affected = reach.affected(call);
  writing.commit();
  const int status =
      call.wrote(entry, std::to_string(number), {},
                 fmt::format("Entry {} ({}) is struck by entry {}; it stays legible.", number,
                             target.entry.kind, entry),
                 Json::object().set("affected", affected));
  if (!call.json()) reach.say(call, entry);
  return status;
}

}  // namespace trencher::commands
