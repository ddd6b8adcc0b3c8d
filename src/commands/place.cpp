#include <fmt/format.h>

#include "book/queries.h"
#include "commands/amend.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/unchanged.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

std::string conditions(const Place& place, Units units) {
  std::vector<std::string> out;
  if (place.temp) out.push_back(show(*place.temp, units));
  if (place.rh) out.push_back(show(*place.rh) + " humidity");
  return out.empty() ? "nothing declared" : join(out, ", ");
}

int list_places(Call& call) {
  call.parse();
  Json out = Json::array();
  std::vector<std::vector<std::string>> rows;
  for (const Place& place : book::places(call.book())) {
    Json row = Json::object();
    row.set("place", place.id).set("name", place.name);
    row.set_or_null("temp_c", place.temp ? Json::decimal(place.temp->degrees(), 1) : Json());
    row.set_or_null("rh_pct", place.rh ? Json::decimal(place.rh->value(), 1) : Json());
    out.push(std::move(row));
    rows.push_back({place.id, place.name, conditions(place, call.units())});
  }
  if (rows.empty() && !call.json())
    call.say("No place yet; 'trencher place add NAME' makes one.");
  else if (!call.json())
    call.table({"Place", "Name", "Where no reading says otherwise"}, rows);
  return call.done(out);
}

}  // namespace

int place(Call& call) {
  if (call.choose_if({"add"}).empty()) return list_places(call);
  std::string name, temp, rh;
  call.word("NAME", name, "as Garage or \"Drying cupboard\"; a known one is given new conditions");
  call.option("--temp", "TEMPERATURE", temp,
              "usual there, for times without a reading: 12C or 54F");
  call.option("--rh", "PERCENT", rh, "usual humidity there, for times without a reading");
  call.parse();
  call.need(name, "NAME", "Name of the place");
  Place stated;
  stated.name = checked_text(name, "NAME", longest_name);
  stated.id = slug(stated.name);
  if (stated.id.empty())
    throw Error::request(
        fmt::format("The name '{}' has none of the letters a-z or digits 0-9, of which "
                    "the place's id is made.",
                    stated.name));
  if (!temp.empty()) stated.temp = parse_temperature(temp, "--temp");
  if (!rh.empty()) stated.rh = parse_humidity(rh, "--rh");
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  const auto before = book::find_place(call.book(), stated.id);
  if (before) {  // what is left out stays as it was
    if (!stated.temp) stated.temp = before->temp;
    if (!stated.rh) stated.rh = before->rh;
    if (stated.body() == before->body())
      return unchanged(
          call, stated.id,
          fmt::format("The book has the place '{}' already; nothing was written.", stated.id));
  }
  Json body = stated.body();
  call.annotate(body);
  Reach reach(call, book::batches_at(call.book(), stated.id));
  const std::int64_t entry = reach.append(call, writing, "place", body, stamp);
  writing.commit();
  const int status = call.wrote(
      entry, stated.id, reach.passed_by(),
      fmt::format("{} '{}' ({}): {}; entry {}.", before ? "Place, stated anew," : "Place",
                  stated.id, stated.name, conditions(stated, call.units()), entry));
  if (!call.json()) reach.say(call, entry);
  return status;
}

}  // namespace trencher::commands
