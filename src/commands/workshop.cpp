#include <fmt/format.h>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/command.h"
#include "commands/losses.h"
#include "commands/shop.h"
#include "commands/timetable.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

struct Changes {
  std::string maker, address, contact, zone, units, country, responsible;
  std::vector<std::string> markets, cross_contact;
  bool no_cross_contact = false, no_address = false, no_responsible = false;

  bool none() const {
    return maker.empty() && address.empty() && contact.empty() && zone.empty() && units.empty() &&
           country.empty() && responsible.empty() && markets.empty() && cross_contact.empty() &&
           !no_cross_contact && !no_address && !no_responsible;
  }

  // Checked, before anything is written.
  void check() {
    for (auto [text, name, most] : {std::tuple{&maker, "--maker", longest_name},
                                    {&address, "--address", longest_text},
                                    {&contact, "--contact", longest_name},
                                    {&responsible, "--responsible", longest_text}})
      if (!text->empty()) *text = checked_text(*text, name, most);
    markets = known_values(markets, "Market", commands::markets());
    if (!country.empty()) country = country_code(country, "--country");
    if (!zone.empty()) Zone{zone};
    if (!units.empty()) Call::check_known(units, "Units", unit_systems());
    if (no_address && !address.empty())
      throw Error::request(
          fmt::format("--no-address contradicts --address '{}'; give one.", address));
    if (no_responsible && !responsible.empty())
      throw Error::request(
          fmt::format("--no-responsible contradicts --responsible '{}'; give one.", responsible));
    if (no_cross_contact && !cross_contact.empty())
      throw Error::request(fmt::format(
          "--no-cross-contact contradicts --cross-contact '{}'; give one.", cross_contact.front()));
    cross_contact = known_allergens(cross_contact);
  }

  void apply(Workshop& to) const {
    if (!maker.empty()) to.maker = maker;
    if (no_address || !address.empty()) to.address = address;
    if (!contact.empty()) to.contact = contact;
    if (!country.empty()) to.country = country;
    if (no_responsible || !responsible.empty()) to.responsible = responsible;
    if (!markets.empty()) to.markets = markets;
    if (!zone.empty()) to.zone = zone;
    if (!units.empty()) to.units = units == "us" ? Units::us : Units::metric;
    if (no_cross_contact || !cross_contact.empty()) {
      to.cross_contact_declared = true;
      to.cross_contact = cross_contact;
    }
  }
};

std::string cross_contact_text(const Workshop& workshop) {
  if (!workshop.cross_contact_declared)
    return "nothing said yet, so that answers about allergens stay 'not known'";
  if (workshop.cross_contact.empty())
    return "declared: shared rags, brushes and bench touch nothing that is on a list";
  std::vector<std::string> names;
  for (const std::string& id : workshop.cross_contact) names.push_back(allergen_name(id));
  return "shared rags, brushes or bench also touch: " + join(names, "; ");
}

int show_workshop(Call& call) {
  const Workshop& workshop = call.settings();
  Json out = workshop.body();
  out.set("cross_contact_declared", workshop.cross_contact_declared);
  if (call.json()) return call.done(out);
  std::vector<std::vector<std::string>> rows{
      {"Address", workshop.address},
      {"Contact", workshop.contact},
      {"Country", workshop.country.empty() ? "not said yet" : workshop.country}};
  if (!workshop.responsible.empty()) rows.push_back({"In the Union", workshop.responsible});
  rows.insert(rows.end(),
              {{"Markets", join(workshop.markets, ", ")},
               {"Zone", workshop.zone},
               {"Units", workshop.units == Units::us ? "us" : "metric"},
               {"Cross-contact", cross_contact_text(workshop)},
               {"Hours", hours_text(workshop)},
               {"Days off", days_off_text(call)},
               {"Market days", market_days_text(call)},
               {"Rack", rack_text(workshop)},
               {"Minutes", minutes_text(workshop)},
               {"Book", fmt::format("{}, {}", call.book_path().string(),
                                    count_of(entries_held(call.book()), "entry", "entries"))}});
  call.table({"Workshop", workshop.maker}, rows);
  return 0;
}

}  // namespace

int workshop(Call& call) {
  if (const std::string what = call.choose_if(timetable_settings()); !what.empty())
    return set_timetable(call, what);
  Changes changes;
  call.option("--maker", "NAME", changes.maker, "new name on cards");
  call.option("--address", "TEXT", changes.address, "new postal address");
  call.flag("--no-address", changes.no_address,
            "take the address off the cards, as for what a private person gives away");
  call.option("--contact", "TEXT", changes.contact, "new mail, phone or site");
  call.option("--country", "CC", changes.country, "where the workshop is, two letters, as GB");
  call.option("--responsible", "TEXT", changes.responsible, responsible_help);
  call.flag("--no-responsible", changes.no_responsible,
            "nobody in the Union answers for them any more");
  call.list("--market", "M", changes.markets,
            "the markets from now on, in place of the old: " + join(markets(), ", "));
  call.option("--zone", "ZONE", changes.zone, "new time zone, as Europe/London");
  call.option("--units", "UNITS", changes.units, "metric or us");
  call.list("--cross-contact", "ID", changes.cross_contact,
            "what shared rags, brushes or bench also touch, see 'trencher allergens'; replaces the "
            "old list");
  call.flag("--no-cross-contact", changes.no_cross_contact,
            "rags, brushes and bench are shared with nothing that is on a list");
  call.parse();
  if (changes.none()) return show_workshop(call);
  changes.check();
  Workshop before, after;
  const int status = change_workshop(call, [&](Workshop& to) {
    before = to;
    changes.apply(to);
    after = to;
  });
  if (!call.json() && !(after.cross_contact == before.cross_contact &&
                        after.cross_contact_declared == before.cross_contact_declared))
    call.say_list("Cross-contact:", cross_contact_text(after) + ".");
  return status;
}

}  // namespace trencher::commands
