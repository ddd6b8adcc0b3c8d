#include <fmt/format.h>

#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/shop.h"
#include "domain/error.h"

namespace trencher::commands {
namespace {

void say_dates(Call& call, const std::vector<engine::Date>& dates, const std::string& batch,
               bool explain) {
  const LocalTime local = [&](Instant at) { return call.zone().moment(at); };
  if (dates.empty())
    call.say(fmt::format("Batch {} has no date yet: nothing is logged that waits.", batch));
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
}

}  // namespace

int when(Call& call) {
  std::string code;
  bool explain = false;
  call.word("BATCH", code, "code of a batch, or of one piece");
  call.flag("--explain", explain, "print the arithmetic of each date");
  std::vector<std::string> if_words;
  declare_what_if(call, if_words);
  call.parse();
  const WhatIf what_if = parse_what_if(if_words);
  call.need(code, "BATCH",
            Question("Which batch", [&] { return batches_to_choose(call); }).others());
  const Pieces pieces = need_pieces(call, code);
  const BatchView view = view_batch(call, pieces.batch, {}, what_if);
  // Pieces that go their own way have their own dates.
  const std::vector<Way> ways = ways_of(view, pieces.numbers, call.now());
  if (ways.empty())
    throw Error::request(fmt::format("Every piece of {} is scrapped; no date is left.", code));
  const LocalTime local = [&](Instant at) { return call.zone().moment(at); };
  const auto rows_of = [&](const Way& way) {
    Json rows = Json::array();
    for (const engine::Date& date : dates_of(view, way.pieces, call.now())) {
      Json row = date_json(call, date);
      if (explain) row.set("explanation", Json::list(engine::explain(date, call.units(), local)));
      rows.push(std::move(row));
    }
    return rows;
  };
  if (call.json()) {
    Json out = Json::object().set("batch", pieces.batch).set("dates", rows_of(ways.front()));
    Json own = Json::array();
    for (std::size_t i = 1; i < ways.size(); ++i)
      own.push(
          Json::object().set("pieces", Json::list(ways[i].pieces)).set("dates", rows_of(ways[i])));
    if (ways.size() > 1) out.set("own_ways", std::move(own));
    return call.done(out);
  }
  if (what_if.any()) call.say(fmt::format("If it is {} from now on:", what_if.text(call.units())));
  for (const Way& way : ways) {
    if (ways.size() > 1)
      call.say(fmt::format("Of {}{}:", name_pieces(way.pieces),
                           way.turn ? fmt::format(", by another way (entry {})", way.turn) : ""));
    say_dates(call, dates_of(view, way.pieces, call.now()), pieces.batch, explain);
  }
  call.say(
      "Smell, tack or softness means not ready, whatever the date. The product's label and local "
      "rules come first.");
  return 0;
}

}  // namespace trencher::commands
