#include <fmt/format.h>

#include "book/queries.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/shop.h"
#include "domain/error.h"

namespace trencher::commands {

int open_tin(Call& call) {
  std::string id;
  call.word("TIN", id, "the tin that was opened, as F1");
  call.parse();
  call.need(id, "TIN", {"Which tin", [&] {
                          std::vector<Choice> out;
                          for (const char* stock : {"finish", "glue", "other"})
                            for (Choice& tin : tins_to_choose(call, stock))
                              if (!book::find_tin(call.book(), tin.id)->opened)
                                out.push_back(std::move(tin));
                          return out;
                        }});
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const Tin tin = need_tin(call, id, {"finish", "glue", "other"});
  if (tin.opened && tin.opened->at <= stamp.happened.at)
    throw Error::request(
        fmt::format("{} was opened or first used on {} already.", id, show(*tin.opened)));
  if (stamp.happened.at < tin.at.at)
    throw Error::request(fmt::format(
        "{} came in on {}, after it is said to have been opened; give --at, or correct entry {}.",
        id, show(tin.at), tin.entry));
  Json body = Json::object().set("tin", id);
  call.annotate(body);
  const std::int64_t entry = writing.append("open", body, stamp);
  const auto until = use_by(load_mix(call, id).at(id));
  writing.commit();
  return call.wrote(entry, id, {},
                    fmt::format("{} {} opened {}{}; entry {}.", id, tin.name, show(stamp.happened),
                                until ? fmt::format(", good until {}", show(*until))
                                      : std::string(", and how long it keeps is not known"),
                                entry));
}

}  // namespace trencher::commands
