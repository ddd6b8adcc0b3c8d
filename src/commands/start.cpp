#include <fmt/format.h>

#include "commands/choices.h"
#include "commands/command.h"
#include "commands/markets.h"
#include "domain/error.h"
#include "domain/text.h"
#include "domain/zone.h"
#include "engine/market.h"

namespace trencher::commands {

namespace {

std::vector<Choice> markets_to_choose() {
  std::vector<Choice> out;
  for (const std::string& market : markets()) out.push_back({market, market_name(market)});
  return out;
}

// Where a workshop of that country will mostly sell; empty: not told.
std::string market_of(const std::string& country) {
  if (country == "US") return "us";
  if (country == "GB") return "uk";
  if (country == "DE") return "de";
  if (country == "CA") return "ca";
  if (country == "AU" || country == "NZ") return "anz";
  return engine::is_in_union(country) ? "eu" : "";
}

}  // namespace

int start(Call& call) {
  std::string maker, address, contact, zone_name, units, country, responsible;
  std::vector<std::string> market;
  call.option("--maker", "NAME", maker, "your name or the workshop's, as it stands on cards");
  call.option("--address", "TEXT", address, "postal address, on one line");
  call.option("--contact", "TEXT", contact, "how customers reach you: mail, phone or site");
  call.option("--country", "CC", country, "where the workshop is, two letters, as GB");
  call.option("--responsible", "TEXT", responsible, responsible_help);
  call.list("--market", "M", market, "where your boards go: " + join(markets(), ", "));
  call.option("--zone", "ZONE", zone_name, "time zone, as Europe/London or America/Denver");
  call.option("--units", "UNITS", units, "on screen and paper: metric or us");
  call.parse();
  const std::filesystem::path path = call.book_path();
  if (std::error_code ignored; std::filesystem::exists(path, ignored))
    throw Error::book(fmt::format("There is a file at {} already; 'start' makes a new book only.",
                                  path.string()));
  call.need(maker, "--maker", "Your name or the workshop's");
  call.need(address, "--address", "Postal address");
  call.need(contact, "--contact", "Mail, phone or site for customers");
  call.need(zone_name, "--zone",
            Question("Time zone, as Europe/London")
                .usually(call.asks() ? zone_of_machine().value_or("") : "")
                .checked([](const std::string& typed) { Zone{typed}; }));
  if (call.asks() && country.empty())
    call.need(country, "--country",
              Question("Country of the workshop, two letters")
                  .usually(country_of_zone(zone_name))
                  .checked([](const std::string& typed) { country_code(typed, "Country"); }));
  call.need(market, "--market", Question("Markets, where your boards go", [] {
                                  return markets_to_choose();
                                }).usually(market_of(country)));
  call.need(units, "--units",
            Question("Units on screen and paper", unit_systems())
                .usually(country == "US" ? "us" : "metric"));
  Workshop workshop;
  workshop.maker = checked_text(maker, "--maker", longest_name);
  workshop.address = checked_text(address, "--address");
  workshop.contact = checked_text(contact, "--contact", longest_name);
  workshop.markets = known_values(market, "Market", markets());
  if (!country.empty()) workshop.country = country_code(country, "--country");
  if (!responsible.empty()) workshop.responsible = checked_text(responsible, "--responsible");
  const Zone zone(zone_name);
  workshop.zone = zone_name;
  Call::check_known(units, "Units", unit_systems());
  workshop.units = units == "us" ? Units::us : Units::metric;
  Json body = workshop.body();
  call.annotate(body);
  // There is no book yet whose zone and workers could make the stamp.
  const book::Stamp stamp{call.happened(zone), call.now(), 1};
  const book::Person person = book::new_person(workshop.maker, "");
  const Worker worker{stamp.worker, person.id, book::seal(person), true};
  const Place place{"workshop", "Workshop", {}, {}};
  std::int64_t entry = 0;
  book::Book::create(path, [&](book::Book& made) {
    book::Writing writing(made);
    writing.keep(person);
    entry = writing.append("workshop", body, stamp);
    writing.append("worker", worker.body(), stamp);
    writing.append("place", place.body(), stamp);
    writing.commit();
  });
  Json more = Json::object();
  more.set("book", path.string()).set("worker", worker.id).set("place", place.id);
  const int status = call.wrote(
      entry, "workshop", {},
      fmt::format("A new book for {} at {}. {} writes in it and may sign off; the place is '{}'.",
                  workshop.maker, path.string(), workshop.maker, place.id),
      more);
  if (call.json()) return status;
  call.say_list("Next:",
                "'trencher receive' enters wood, glue and finish; 'trencher place add' gives a "
                "place its usual temperature and humidity; 'trencher workshop "
                "--cross-contact' says what shared rags, brushes and bench also touch. Until "
                "that is said, answers about allergens stay 'not known'.");
  call.say_list("Mind:",
                "the program keeps a record. Local rules, a doctor's word and the product's own "
                "label come first. Copy the book elsewhere now and then: 'trencher backup'.");
  return status;
}

}  // namespace trencher::commands
