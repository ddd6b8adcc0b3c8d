#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/command.h"
#include "commands/upcoming.h"

namespace trencher::commands {

int due(Call& call) {
  call.parse();
  std::vector<Upcoming> all;
  for (const std::string& batch : book::open_batches(call.book()))
    for (Upcoming& item : upcoming(call, batch)) all.push_back(std::move(item));
  // Rags first: they burn.
  std::stable_sort(all.begin(), all.end(), [](const Upcoming& a, const Upcoming& b) {
    if ((a.step == "rags") != (b.step == "rags")) return a.step == "rags";
    return a.earliest && (!b.earliest || *a.earliest < *b.earliest);
  });
  if (call.json()) {
    Json out = Json::array();
    const auto time = [&](const std::optional<Instant>& at) {
      return at ? Json(iso(call.zone().moment(*at))) : Json();
    };
    for (const Upcoming& item : all) {
      Json row = Json::object();
      row.set("batch", item.batch).set("step", item.step);
      row.set_or_null("earliest", time(item.earliest)).set_or_null("latest", time(item.latest));
      out.push(row.set("guessed", item.guessed).set("detail", item.detail));
    }
    return call.done(out);
  }
  if (all.empty()) {
    call.say("Nothing is due: no batch is open. 'trencher batch' makes one.");
    return 0;
  }
  call.say(fmt::format(
      "{}. 'Guessed' means: counted on usual waits or on conditions that nobody measured.",
      call.show_time(call.now())));
  for (const Upcoming& item : all) {
    std::string when = item.earliest ? show_relative(call, *item.earliest) : "time not known";
    if (item.latest && item.step != "rags")
      when += fmt::format("; latest {}", call.show_time(*item.latest));
    call.say_list(fmt::format("{:<8} {:<12}", item.batch, item.step),
                  fmt::format("{}{}: {}", when, item.guessed ? " (guessed)" : "", item.detail));
  }
  return 0;
}

}  // namespace trencher::commands
