#include "engine/climate.h"

#include <fmt/format.h>

#include <cmath>

#include "commands/command.h"
#include "domain/error.h"

namespace trencher::commands {
namespace {

double fahrenheit(double celsius) { return celsius * 9 / 5 + 32; }

// Both units: there may be no book that says which.
std::string both(double celsius) {
  return fmt::format("{:.1f} °C ({:.1f} °F)", celsius, fahrenheit(celsius));
}

// A limit that the surface must reach is never rounded down.
std::string both_upwards(double celsius) {
  return fmt::format("{:.1f} °C ({:.1f} °F)", std::ceil(celsius * 10) / 10,
                     std::ceil(fahrenheit(celsius) * 10) / 10);
}

}  // namespace

int climate(Call& call) {
  std::string temp_text, rh_text;
  call.option("--temp", "TEMPERATURE", temp_text, "of the air, as 20C or 68F");
  call.option("--rh", "PERCENT", rh_text, "relative humidity of the air, as 55");
  call.parse();
  call.need(temp_text, "--temp", "Temperature of the air, as 20C or 68F");
  call.need(rh_text, "--rh", "Relative humidity of the air in %");
  const double temp = parse_temperature(temp_text, "--temp").degrees();
  const double rh = parse_humidity(rh_text, "--rh").value();
  if (rh == 0)
    throw Error::request(
        fmt::format("--rh '{}' gives no dew point: it must be above 0, up to 100.", rh_text));
  const double dew_point = engine::dew_point_c(temp, rh),
               lowest = engine::lowest_surface_c(temp, rh);
  const double moisture = engine::emc_pct(temp, rh);
  if (!call.json()) {
    call.say_list("Dew point:      ", both(dew_point) + ".");
    call.say_list(
        "Lowest surface: ",
        fmt::format("{}, rounded up: {:g} °C ({:g} °F) above the dew point. The margin is borrowed "
                    "from the "
                    "coating of steel; no standard for wood was found. The product's label "
                    "comes first.",
                    both_upwards(lowest), engine::dew_point_margin_c,
                    engine::dew_point_margin_c * 9 / 5));
    call.say_list(
        "Wood settles at:",
        fmt::format("{:.1f} % moisture of its dry weight, if this air stays for weeks.", moisture));
    call.say_list(
        "Sources:        ",
        "dew point by the Magnus formula (WMO-No. 8, Annex 4.B); moisture of wood by the Wood "
        "Handbook (FPL-GTR-190), equation 4-5, for wood in general.");
  }
  Json out = Json::object();
  out.set("dew_point_c", Json::decimal(dew_point, 2))
      .set("lowest_surface_c", Json::decimal(lowest, 2));
  return call.done(out.set("emc_pct", Json::decimal(moisture, 2)));
}

}  // namespace trencher::commands
