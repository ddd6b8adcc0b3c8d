#include <fmt/format.h>

#include "commands/command.h"
#include "commands/shop.h"

namespace trencher::commands {

int when(Call& call) {
  std::string code;
  bool explain = false;
  call.word("BATCH", code, "code of a batch, or of one piece");
  call.flag("--explain", explain, "print the arithmetic of each date");
  call.parse();
  call.need(code, "BATCH", "Which batch");
  const Pieces pieces = need_pieces(call, code);
  const BatchView view = view_batch(call, pieces.batch);
  const std::vector<engine::Date> dates =
      dates_of(view, pieces.whole_batch ? std::vector<int>{} : pieces.numbers, call.now());
  const LocalTime local = [&](Instant at) { return call.zone().moment(at); };
  if (call.json()) {
    Json rows = Json::array();
    for (const engine::Date& date : dates) {
      Json row = date_json(call, date);
      if (explain) row.set("explanation", Json::list(engine::explain(date, call.units(), local)));
      rows.push(std::move(row));
    }
    return call.done(Json::object().set("batch", pieces.batch).set("dates", std::move(rows)));
  }
  if (dates.empty())
    call.say(fmt::format("Batch {} has no date yet: nothing is logged that waits.", pieces.batch));
  for (const engine::Date& date : dates) {
    std::string text = "not known";
    if (date.at && date.name == engine::food_contact)
      text = fmt::format("not before {} (reached {})", show(call.zone().first_day_from(*date.at)),
                         call.show_time(*date.at));
    else if (date.at)
      text = call.show_time(*date.at);
    if (date.guessed && date.at) text += " (guessed)";
    if (date.scuff_first) text += ", after a scuff";
    call.say_list(fmt::format("{:<13}", date.name), text);
    for (const std::string& why : date.why) call.say_list("               ", why);
    if (!explain) continue;
    for (const std::string& line : engine::explain(date, call.units(), local))
      call.say_list("               ", line);
  }
  call.say(
      "Smell, tack or softness means not ready, whatever the date. The product's label and local "
      "rules come first.");
  return 0;
}

}  // namespace trencher::commands
