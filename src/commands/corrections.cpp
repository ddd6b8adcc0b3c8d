#include "commands/corrections.h"

#include <algorithm>

#include "book/kinds.h"
#include "commands/correction_fields.h"
#include "commands/shop.h"
#include "commands/step_options.h"
#include "commands/way.h"

namespace trencher::commands {
namespace {

Json mend_step(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const std::string kind = target.entry.kind;
  Step step = Step::read(kind, target.body);
  step.entry = target.entry.number;
  step.at = target.happened;
  const Batch batch = need_batch(call, step.batch);
  std::vector<Field<Step>> fields{
      {"pieces",
       [&batch](Step& s, const std::string& typed) {
         s.pieces = typed.empty() ? std::vector<int>{} : parse_piece_numbers(typed, batch.pieces);
       }},
      quantity("temp", &Step::temp, parse_temperature),
      quantity("rh", &Step::rh, parse_humidity),
      quantity("surface-temp", &Step::surface_temp, parse_temperature),
      quantity("wood-temp", &Step::wood_temp, parse_temperature),
      quantity("tin-temp", &Step::tin_temp, parse_temperature)};
  if (takes_tins(kind))
    fields.push_back({"from", [&call, kind](Step& s, const std::string& typed) {
                        s.drawn = parse_drawn(call, split(typed, ','), stocks_of_step(kind));
                      }});
  if (kind == "sand" || kind == "scuff")
    fields.push_back(
        {"grit", [](Step& s, const std::string& typed) { s.grits = parse_grits(typed); }});
  if (kind == "raise-grain")
    fields.push_back({"rounds", [](Step& s, const std::string& typed) {
                        s.rounds = static_cast<int>(parse_count(typed, "rounds", 1, 9));
                      }});
  if (kind == "inspect") fields.push_back(choice("result", &Step::result, {"sound", "not-sound"}));
  if (kind == "inspect" || kind == "fit") fields.push_back(text("what", &Step::text));
  if (kind == "move")
    fields.push_back({"to", [&call](Step& s, const std::string& typed) {
                        s.place = need_place(call, typed, "Which place").id;
                      }});
  Json out = mended(std::move(step), target.body, kind, fields, set);
  const bool other_tins = std::any_of(
      set.begin(), set.end(), [](const std::string& item) { return item.starts_with("from="); });
  if (!other_tins) return out;
  // What follows from the tins follows anew: an estimate, and whether the rags can burn.
  Step anew = Step::read(kind, out);
  anew.at = target.happened;
  std::vector<std::string> tins;
  for (const Drawn& part : anew.drawn) tins.push_back(part.tin);
  const BatchView view = view_batch(call, batch.code, tins);
  estimate_amounts(anew, view);
  anew.rags = heats_by_itself(anew, view);
  Json body = anew.body();
  for (const char* kept : {"note", "because"})
    if (const auto text = out.maybe_text(kept)) body.set(kept, *text);
  return body;
}

// What take-back itself refuses, a correction of one does not slip in.
void check_turn(Call& call, const Turn& turn, const book::Effective& target) {
  if (turn.kind != Turn::Kind::take_back) return;
  if (turn.unused && !turn.owner_applied.empty() && turn.owner_applied != "nothing")
    throw Error::request(fmt::format(
        "unused=yes contradicts owner-applied={}; set unused=no with it.", turn.owner_applied));
  const auto gifts = book::gifts_of(call.book(), turn.batch);
  for (const int piece : turn.pieces)
    if (std::none_of(gifts.begin(), gifts.end(), [&](const Gift& gift) {
          return names_piece(gift.pieces, piece) && gift.entry < target.entry.number;
        }))
      throw Error::request(fmt::format(
          "Piece {} of {} had not left by entry {}, so it cannot have come back with it.", piece,
          turn.batch, target.entry.number));
}

Json mend_turn(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const std::string kind = target.entry.kind;
  const Batch batch = need_batch(call, target.body.text("batch"));
  std::vector<Field<Turn>> fields{{"pieces",
                                   [&batch](Turn& turn, const std::string& typed) {
                                     turn.pieces = parse_piece_numbers(typed, batch.pieces);
                                   }},
                                  {"finish", [&call](Turn& turn, const std::string& typed) {
                                     turn.finish = split(typed, ',');
                                     if (turn.schedule) check_way(call, turn);
                                   }}};
  if (kind == "split") {
    fields.push_back(text("why", &Turn::why));
  } else {
    fields.push_back(flag("unused", &Turn::unused));
    fields.push_back({"owner-applied", [](Turn& turn, const std::string& typed) {
                        turn.owner_applied =
                            typed.empty() ? "" : checked_text(typed, "owner-applied");
                      }});
    fields.push_back({"place", [&call](Turn& turn, const std::string& typed) {
                        turn.place = need_place(call, typed, "Which place").id;
                      }});
  }
  Json out = mended(Turn::read(kind, target.body), target.body, kind, fields, set);
  check_turn(call, Turn::read(kind, out), target);
  return out;
}

Json mend_worker(const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Worker>> fields{flag("may-sign-off", &Worker::may_sign_off)};
  return mended(Worker::read(target.body), target.body, "worker", fields, set);
}

Json mend_scrap(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const Batch batch = need_batch(call, target.body.text("batch"));
  const std::vector<Field<Scrap>> fields{
      text("why", &Scrap::why), {"pieces", [&batch](Scrap& scrap, const std::string& typed) {
                                   scrap.pieces = parse_piece_numbers(typed, batch.pieces);
                                 }}};
  return mended(Scrap::read(target.body), target.body, "scrap", fields, set);
}

Json mend_batch(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Batch>> fields{
      ids(call, "wood", &Batch::wood, "wood"),
      ids(call, "glue", &Batch::glue, "glue"),
      ids(call, "finish", &Batch::finish, "finish"),
      choice("use", &Batch::use,
             {"cutting-board", "serving-board", "salad-bowl", "utensil", "toy"}),
      {"size", [](Batch& b, const std::string& typed) { b.size = parse_size(typed, "size"); }},
      {"pieces",
       [](Batch& b, const std::string& typed) {
         b.pieces = static_cast<int>(parse_count(typed, "pieces", 1, 999));
       }},
      quantity("promised", &Batch::promised, parse_day),
      {"place", [&call](Batch& b, const std::string& typed) {
         b.place = need_place(call, typed, "Which place").id;
       }}};
  return mended(Batch::read(target.body), target.body, "batch", fields, set);
}

Json mend_readings(Call& call, const book::Effective& target, const std::vector<std::string>& set) {
  const auto one = [](Readings& readings) -> Reading& {
    if (readings.samples.size() != 1)
      throw Error::request(
          "These readings came from a file; strike the entry and import a mended file.");
    return readings.samples.front();
  };
  const std::vector<Field<Readings>> fields{
      {"temp", [one](Readings& r,
                     const std::string& typed) { one(r).temp = parse_temperature(typed, "temp"); }},
      {"rh",
       [one](Readings& r, const std::string& typed) {
         if (typed.empty())
           one(r).rh.reset();
         else
           one(r).rh = parse_humidity(typed, "rh");
       }},
      {"place", [&call](Readings& r, const std::string& typed) {
         r.place = need_place(call, typed, "Which place").id;
       }}};
  return mended(Readings::read(target.entry.number, target.body), target.body, "reading", fields,
                set);
}

Json mend_gift(const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Gift>> fields{choice("as", &Gift::as, {"gift", "sale", "private-gift"}),
                                        choice("market", &Gift::market, markets()),
                                        text("event", &Gift::event, longest_name),
                                        flag("food-business", &Gift::food_business)};
  return mended(Gift::read(target.body), target.body, "gift or sale", fields, set);
}

Json mend_complaint(const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Complaint>> fields{text("what", &Complaint::what),
                                             choice("severity", &Complaint::severity, severities()),
                                             text("where", &Complaint::where)};
  return mended(Complaint::read(target.body), target.body, "complaint", fields, set);
}

Json mend_place(const book::Effective& target, const std::vector<std::string>& set) {
  const std::vector<Field<Place>> fields{text("name", &Place::name, longest_name),
                                         quantity("temp", &Place::temp, parse_temperature),
                                         quantity("rh", &Place::rh, parse_humidity)};
  return mended(Place::read(target.body), target.body, "place", fields, set);
}

}  // namespace

Json corrected_body(Call& call, const book::Effective& target,
                    const std::vector<std::string>& set) {
  const std::string& kind = target.entry.kind;
  if (set.empty()) return target.body;
  if (book::is_step(kind)) return mend_step(call, target, set);
  if (book::is_turn(kind)) return mend_turn(call, target, set);
  if (kind == "worker") return mend_worker(target, set);
  if (kind == "scrap") return mend_scrap(call, target, set);
  if (auto stock = corrected_stock(call, target, set)) return std::move(*stock);
  if (kind == "batch") return mend_batch(call, target, set);
  if (kind == "readings") return mend_readings(call, target, set);
  if (kind == "give") return mend_gift(target, set);
  if (kind == "complaint") return mend_complaint(target, set);
  if (kind == "place") return mend_place(target, set);
  throw Error::request(fmt::format(
      "The fields of entry {} ({}) are not corrected one by one; strike it and enter it "
      "anew.",
      target.entry.number, kind));
}

}  // namespace trencher::commands
