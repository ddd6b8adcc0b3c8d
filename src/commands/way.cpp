#include "commands/way.h"

#include <fmt/format.h>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/choosing.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {

void declare_way(Call& call, std::string& schedule, std::vector<std::string>& finish) {
  call.option("--schedule", "ID", schedule, "way of finishing, see 'trencher schedules'");
  call.list("--finish", "ID", finish, "tin of finish, as F1, in the order of use");
}

void need_way(Call& call, std::string& schedule, Turn& turn) {
  call.need(schedule, "--schedule",
            {"Way of finishing", [] { return kinds_to_choose(reference::schedules()); }});
  Call::check_known(schedule, "Schedule", ids_of(reference::schedules()), from_schedules);
  call.need(turn.finish, "--finish", {"Tins of finish, in the order of use", [&] {
                                        return tins_to_choose(call, "finish");
                                      }});
  turn.schedule = *reference::find_schedule(schedule);
}

void check_way(Call& call, const Turn& turn) { check_finishes(call, *turn.schedule, turn.finish); }

void check_finishes(Call& call, const Schedule& schedule, const std::vector<std::string>& finish) {
  for (const std::string& id : finish) {
    need_tin(call, id, {"finish"});
    for (const auto& [source, tin] : load_mix(call, id)) demand_not_withdrawn(call, source);
  }
  const std::size_t slots = schedule.slots.size();
  if (finish.size() == slots) return;
  throw Error::request(
      fmt::format("The schedule '{}' takes {}, one --finish each in the order of use; {} given.",
                  schedule.id, count_of(static_cast<std::int64_t>(slots), "finish", "finishes"),
                  finish.size() == 1 ? "1 is" : fmt::format("{} are", finish.size())));
}

}  // namespace trencher::commands
