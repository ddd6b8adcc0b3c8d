#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/choosing.h"
#include "commands/command.h"
#include "commands/people.h"
#include "commands/shop.h"
#include "commands/way.h"
#include "domain/error.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

const std::vector<std::string> uses{"cutting-board", "serving-board", "salad-bowl", "utensil",
                                    "toy"};
constexpr std::int64_t most_pieces = 999;

int list_batches(Call& call) {
  Json out = Json::array();
  std::vector<std::vector<std::string>> rows;
  for (const std::string& code : book::ids_of_class(call.book(), "batch")) {
    const Batch batch = *book::find_batch(call.book(), code);
    const auto pieces = book::pieces_of(call.book(), code);
    const auto here =
        std::count_if(pieces.begin(), pieces.end(), [](const auto& p) { return p.here(); });
    Json row = Json::object();
    row.set("batch", code).set("pieces", batch.pieces).set("here", static_cast<std::int64_t>(here));
    row.set("use", batch.use).set("schedule", batch.schedule.id).set("place", batch.place);
    row.set("wood", Json::list(batch.wood)).set("glue", Json::list(batch.glue));
    out.push(row.set("finish", Json::list(batch.finish)));
    rows.push_back({code, fmt::format("{} of {}", here, batch.pieces), batch.use,
                    fmt::format("{}, since {}", batch.schedule.name, show(local_day(batch.at)))});
  }
  if (call.json()) return call.done(out);
  if (rows.empty())
    call.say(
        "No batch yet; 'trencher batch --wood W1 …' makes one, once wood, glue and "
        "finish are received.");
  else
    call.table({"Batch", "Here", "Use", "Way of finishing"}, rows);
  return 0;
}

void check_lots(Call& call, const Batch& batch, Instant when) {
  for (const std::string& id : batch.wood) {
    const auto lot = book::find_wood(call.book(), id);
    if (!lot) Call::check_known(id, "Wood", book::ids_of_class(call.book(), "wood"), from_receive);
    if (lot->at.at > when)
      throw Error::request(fmt::format(
          "{} came in on {}, after this batch was begun; give --at, or correct entry {}.", id,
          show(lot->at), lot->entry));
    demand_not_withdrawn(call, id);
  }
  for (const std::string& id : batch.glue) {
    need_tin(call, id, {"glue"});
    for (const auto& [source, tin] : load_mix(call, id)) demand_not_withdrawn(call, source);
  }
  check_finishes(call, batch.schedule, batch.finish);
}

}  // namespace

int batch(Call& call) {
  std::vector<std::string> wood, glue, finish;
  std::string schedule, pieces, size, use, place, customer, contact, promised;
  call.list("--wood", "ID", wood, "wood lot, as W1");
  call.list("--glue", "ID", glue, "tin of glue, as G1; none for a board from one plank");
  call.list("--finish", "ID", finish, "tin of finish, as F1, in the order of use");
  call.option("--schedule", "ID", schedule, "way of finishing, see 'trencher schedules'");
  call.option("--pieces", "N", pieces, "how many boards");
  call.option("--size", "LxWxT", size, "of one board, as 400x250x22mm or 16x10x7/8in");
  call.option("--use", "USE", use, join(uses, ", "));
  call.option("--place", "NAME", place, "where it is made; not needed with one place");
  call.option("--for", "NAME", customer, "who ordered it; the name stays in the book's vault");
  call.option("--contact", "TEXT", contact, "how to reach them");
  call.option("--promised", "DATE", promised, "promised for that day, as 2026-12-20");
  call.parse();
  if (wood.empty() && glue.empty() && finish.empty() && schedule.empty() && pieces.empty() &&
      size.empty())
    return list_batches(call);
  call.need(wood, "--wood", {"Wood lots", [&] { return lots_to_choose(call); }});
  call.need(schedule, "--schedule",
            {"Way of finishing", [] { return kinds_to_choose(reference::schedules()); }});
  Call::check_known(schedule, "Schedule", ids_of(reference::schedules()), from_schedules);
  call.need(finish, "--finish", {"Tins of finish, in the order of use", [&] {
                                   return tins_to_choose(call, "finish");
                                 }});
  call.need(pieces, "--pieces", Question("How many boards").checked([](const std::string& typed) {
    parse_count(typed, "--pieces", 1, most_pieces);
  }));
  call.need(size, "--size",
            Question("Size of one board, as 400x250x22mm").checked([](const std::string& typed) {
              parse_size(typed, "--size");
            }));
  call.need(use, "--use", {"Use", uses});
  Call::check_known(use, "Use", uses);
  Batch made;
  made.wood = wood;
  made.glue = glue;
  made.finish = finish;
  made.schedule = *reference::find_schedule(schedule);
  made.pieces = static_cast<int>(parse_count(pieces, "--pieces", 1, most_pieces));
  made.size = parse_size(size, "--size");
  made.use = use;
  made.place = need_place(call, place, "Where it is made").id;
  if (!promised.empty()) made.promised = parse_day(promised, "--promised");
  if (!contact.empty() && customer.empty())
    throw Error::request("--contact goes with --for: it is somebody's.");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  if (!customer.empty()) {
    const book::Person person =
        person_of(writing, call.book(), checked_text(customer, "--for", longest_name),
                  contact.empty() ? "" : checked_text(contact, "--contact", longest_name));
    made.person = person.id;
    made.seal = book::seal(person);
  }
  check_lots(call, made, stamp.happened.at);
  const int year = static_cast<int>(local_day(stamp.happened).year()) % 100;
  const std::string prefix = fmt::format("{:02}-", year);
  const std::int64_t number = book::next_number(call.book(), prefix);
  if (number > 99999)
    throw Error::request(
        fmt::format("The batch numbers of the year are used up: {}99999 was the last.", prefix));
  made.code = BatchCode{year, static_cast<int>(number)}.text();
  Json body = made.body();
  call.annotate(body);
  const std::int64_t entry = writing.append("batch", body, stamp);
  const BatchView view = view_batch(call, made.code);
  // What speaks against these materials is said now; what is merely not yet done is not.
  std::vector<engine::Finding> found = engine::suitability(view.facts, view.conditions, call.now());
  std::erase_if(found, [](const engine::Finding& f) {
    return f.result == engine::Result::fine ||
           (f.result == engine::Result::not_known && f.check != "species-known");
  });
  writing.commit();
  Json codes = Json::array();
  std::vector<std::string> shown;
  for (const book::PieceState& piece : book::pieces_of(call.book(), made.code)) {
    codes.push(piece.code);
    shown.push_back(piece.code);
  }
  const int status =
      call.wrote(entry, made.code, found,
                 fmt::format("Batch {}: {}, {}; entry {}.", made.code,
                             count_of(made.pieces, "board"), show(made.size, call.units()), entry),
                 Json::object().set("pieces", std::move(codes)));
  if (!call.json()) call.say_list("Pieces:", join(shown, "  "));
  return status;
}

}  // namespace trencher::commands
