#include <algorithm>

#include "domain/record_fields.h"
#include "domain/records.h"

namespace trencher {

using namespace fields;

Json Batch::body() const {
  Json out = Json::object();
  out.set("batch", code).set("wood", Json::list(wood)).set("glue", filled(glue));
  out.set("finish", filled(finish)).set("schedule", to_json(schedule)).set("pieces", pieces);
  out.set("person", filled(person)).set("seal", filled(seal)).set("promised", day(promised));
  return out.set("size", size_json(size)).set("use", use).set("place", place);
}

Batch Batch::read(const Json& body) {
  Batch out;
  out.code = body.text("batch");
  out.wood = body.texts("wood");
  out.glue = body.texts("glue");
  out.finish = body.texts("finish");
  out.schedule = schedule_from_json(body.at("schedule"));
  out.pieces = static_cast<int>(body.integer("pieces"));
  out.size = read_size(body.at("size"));
  out.use = body.text("use");
  out.place = body.text("place");
  out.person = read_text(body, "person");
  out.seal = read_text(body, "seal");
  out.promised = read_day(body, "promised");
  return out;
}

Json Step::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", filled(pieces));
  out.set("drawn", drawn_json(drawn));
  out.set("temp_mc", milli(temp)).set("surface_temp_mc", milli(surface_temp));
  out.set("wood_temp_mc", milli(wood_temp)).set("tin_temp_mc", milli(tin_temp));
  out.set("rh_permille", permille(rh)).set("place", filled(place)).set("grits", filled(grits));
  out.set("rounds", Json(rounds))
      .set("strips", Json(strips))
      .set("result", filled(result))
      .set("rags", filled(rags));
  return out.set("text", filled(text));
}

Step Step::read(std::string_view kind, const Json& body) {
  Step out;
  out.kind = kind;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.drawn = read_drawn(body);
  out.temp = celsius(body, "temp_mc");
  out.surface_temp = celsius(body, "surface_temp_mc");
  out.wood_temp = celsius(body, "wood_temp_mc");
  out.tin_temp = celsius(body, "tin_temp_mc");
  out.rh = percent(body, "rh_permille");
  out.place = read_text(body, "place");
  out.grits = read_numbers(body, "grits");
  if (const auto rounds = body.maybe_integer("rounds")) out.rounds = static_cast<int>(*rounds);
  if (const auto strips = body.maybe_integer("strips")) out.strips = static_cast<int>(*strips);
  out.result = read_text(body, "result");
  out.rags = body.flag("rags");
  out.text = read_text(body, "text");
  return out;
}

Json Turn::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", Json::list(pieces));
  out.set("schedule", schedule ? to_json(*schedule) : Json()).set("finish", filled(finish));
  out.set("why", filled(why)).set("place", filled(place)).set("unused", filled(unused));
  return out.set("owner_applied", filled(owner_applied));
}

Turn Turn::read(std::string_view entry_kind, const Json& body) {
  Turn out;
  out.kind = entry_kind == "split" ? Kind::split : Kind::take_back;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  if (const Json* schedule = body.find("schedule")) out.schedule = schedule_from_json(*schedule);
  out.finish = body.texts("finish");
  out.why = read_text(body, "why");
  out.place = read_text(body, "place");
  out.unused = body.flag("unused");
  out.owner_applied = read_text(body, "owner_applied");
  return out;
}

Json Scrap::body() const {
  Json out = Json::object();
  return out.set("batch", batch).set("pieces", Json::list(pieces)).set("why", why);
}

Scrap Scrap::read(const Json& body) {
  Scrap out;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.why = body.text("why");
  return out;
}

Json MadeWrong::json() const {
  Json out = Json::object();
  out.set("batch", batch);
  Json list = Json::array();
  for (const Change& change : changes)
    list.push(Json::object()
                  .set("about", change.about)
                  .set("before", change.before)
                  .set("now", change.now));
  out.set("changes", std::move(list)).set("sign_off", filled(sign_off)).set("card", filled(card));
  out.set("left", filled(left)).set("answer", filled(answer));
  if (!cards.empty()) out.set("cards", Json::list(cards));
  if (!gifts.empty()) out.set("gifts", Json::list(gifts));
  if (!answers.empty()) out.set("answers", Json::list(answers));
  return out;
}

MadeWrong MadeWrong::read(const Json& json) {
  MadeWrong out;
  out.batch = json.text("batch");
  for (const Json& change : json.at("changes").items())
    out.changes.push_back({change.text("about"), change.text("before"), change.text("now")});
  out.sign_off = read_numbers(json, "sign_off");
  out.card = read_numbers(json, "card");
  out.left = read_numbers(json, "left");
  out.cards = json.integers("cards");
  out.gifts = json.integers("gifts");
  out.answer = read_numbers(json, "answer");
  out.answers = json.integers("answers");
  return out;
}

std::vector<MadeWrong> made_wrong(const Json& body) {
  std::vector<MadeWrong> out;
  if (const Json* rows = body.find("affected"))
    for (const Json& row : rows->items()) out.push_back(MadeWrong::read(row));
  return out;
}

Json Dealt::body() const {
  Json out = Json::object();
  out.set("entry", with).set("batch", batch).set("pieces", Json::list(pieces));
  return out.set("how", how);
}

Dealt Dealt::read(const Json& body) {
  Dealt out;
  out.with = body.integer("entry");
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.how = body.text("how");
  return out;
}

// Samples are rows of time, thousandths of a degree and tenths of a per cent (or no third number).
Json Readings::body() const {
  Json out = Json::object();
  out.set("place", place).set("file_name", filled(file_name));
  Json rows = Json::array();
  for (const Reading& sample : samples) {
    Json row = Json::array();
    row.push(sample.at.time_since_epoch().count()).push(sample.temp.milli);
    if (sample.rh) row.push(sample.rh->permille);
    rows.push(std::move(row));
  }
  return out.set("samples", std::move(rows));
}

Readings Readings::read(std::int64_t entry, const Json& body) {
  Readings out;
  out.place = body.text("place");
  out.file_name = read_text(body, "file_name");
  for (const Json& row : body.at("samples").items()) {
    const Json::Array& cells = row.items();
    if (cells.size() < 2) row.at("temp_mc");  // throws: a damaged body
    Reading reading{entry, Instant(Seconds(cells[0].as_integer())), {cells[1].as_integer()}, {}};
    if (cells.size() > 2) reading.rh = Percent{cells[2].as_integer()};
    out.samples.push_back(reading);
  }
  return out;
}

Json SignOff::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", Json::list(pieces));
  out.set("food_contact", instant(food_contact)).set("guessed", filled(guessed));
  return out.set("stops", filled(stops));
}

SignOff SignOff::read(const Json& body) {
  SignOff out;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  if (const auto at = body.maybe_text("food_contact")) out.food_contact = instant_from_iso(*at);
  out.guessed = body.flag("guessed");
  out.stops = body.texts("stops");
  return out;
}

Json Gift::body() const {
  Json out = Json::object();
  out.set("batch", batch).set("pieces", Json::list(pieces)).set("person", filled(person));
  out.set("seal", filled(seal)).set("as", as).set("market", market);
  return out.set("food_business", filled(food_business)).set("event", filled(event));
}

Gift Gift::read(const Json& body) {
  Gift out;
  out.batch = body.text("batch");
  out.pieces = read_numbers(body, "pieces");
  out.person = read_text(body, "person");
  if (!out.person.empty()) out.seal = body.text("seal");
  out.as = body.text("as");
  out.market = body.text("market");
  out.food_business = body.flag("food_business");
  out.event = read_text(body, "event");
  return out;
}

Json RagsDone::body() const {
  return Json::object().set("batch", batch).set("coats", Json::list(coats));
}

RagsDone RagsDone::read(const Json& body) { return {body.text("batch"), body.integers("coats")}; }

Json to_json(const Schedule& schedule) {
  Json out = Json::object();
  out.set("id", schedule.id).set("name", schedule.name);
  Json slots = Json::array();
  for (const auto& slot : schedule.slots) {
    Json names = Json::array();
    for (const Mechanism mechanism : slot) names.push(to_string(mechanism));
    slots.push(std::move(names));
  }
  out.set("slots", std::move(slots));
  Json steps = Json::array();
  for (const ScheduleStep& step : schedule.steps) {
    Json item = Json::object();
    item.set("step", step.step).set("grits", filled(step.grits));
    item.set("slot", step.slot ? Json(step.slot) : Json()).set("count", Json(step.count));
    item.set("minutes", Json(step.minutes)).set("source", filled(step.source));
    steps.push(std::move(item));
  }
  return out.set("steps", std::move(steps));
}

Schedule schedule_from_json(const Json& json) {
  Schedule out;
  out.id = json.text("id");
  out.name = json.text("name");
  for (const Json& names : json.at("slots").items()) {
    auto& slot = out.slots.emplace_back();
    for (const Json& name : names.items()) slot.push_back(parse_mechanism(name.as_text()));
  }
  for (const Json& item : json.at("steps").items()) {
    ScheduleStep step;
    step.step = item.text("step");
    step.grits = read_numbers(item, "grits");
    step.slot = static_cast<int>(item.maybe_integer("slot").value_or(0));
    if (const auto count = item.maybe_integer("count")) step.count = static_cast<int>(*count);
    if (const auto minutes = item.maybe_integer("minutes"))
      step.minutes = static_cast<int>(*minutes);
    step.source = read_text(item, "source");
    out.steps.push_back(std::move(step));
  }
  return out;
}

bool names_piece(const std::vector<int>& pieces, int number) {
  return pieces.empty() || number == 0 ||
         std::find(pieces.begin(), pieces.end(), number) != pieces.end();
}

}  // namespace trencher
