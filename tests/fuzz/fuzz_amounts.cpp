// Quantities, lengths of time, moments, days, hours: what is read and shown is read again as the
// same, to the digits that are shown.
#include <array>
#include <cmath>

#include "domain/hours.h"
#include "domain/json.h"
#include "domain/quantity.h"
#include "domain/text.h"
#include "domain/zone.h"
#include "fuzz.h"

using namespace trencher;

namespace {

constexpr std::string_view what = "The value";

// Shown as `shown`, it is read as something at most `slack` away that is shown alike.
template <typename Value, typename Parse, typename Show, typename Number>
void see_shown(const Value& value, Parse parse, Show show_it, Number number, double slack) {
  const std::string shown = show_it(value);
  const auto again = fuzz::accepted([&] { return parse(shown, what); });
  fuzz::demand(again.has_value(), "what is shown can be typed", shown);
  const double away = std::abs(static_cast<double>(number(*again) - number(value)));
  fuzz::demand(away <= slack, "what is shown is near what it shows", shown);
  fuzz::demand(show_it(*again) == shown, "what is shown is shown alike again", shown);
}

// At the ends of what is taken, rounding may lead out of it: `least` and `most` lie within.
struct Looked {
  std::int64_t least, most;
  double metric, us;  // slack
};

template <typename Parse, typename Number>
void see_quantity(std::string_view text, Parse parse, Number number, const Looked& looked) {
  const auto value = fuzz::accepted([&] { return parse(text, what); });
  if (!value || number(*value) < looked.least || number(*value) > looked.most) return;
  for (const Units units : {Units::metric, Units::us})
    see_shown(
        *value, parse, [&](const auto& of) { return show(of, units); }, number,
        units == Units::us ? looked.us : looked.metric);
}

void see_percent(std::string_view text, Percent (*parse)(std::string_view, std::string_view)) {
  const auto value = fuzz::accepted([&] { return parse(text, what); });
  if (value)
    see_shown(
        *value, parse, [](Percent of) { return show(of); }, [](Percent of) { return of.permille; },
        0);
}

void see_size(std::string_view text) {
  const auto size = fuzz::accepted([&] { return parse_size(text, what); });
  if (!size) return;
  fuzz::demand(surface_cm2(*size) > 0, "a board has a surface", std::string(text));
  // Thinner than what is shown as 0, or so long that rounding leads out of what is taken.
  if (std::min({size->length, size->width, size->thickness}).um < 800 ||
      std::max({size->length, size->width, size->thickness}).um > 9'999'000)
    return;
  for (const Units units : {Units::metric, Units::us})
    see_shown(
        *size, parse_size, [&](const Size& of) { return show(of, units); },
        [](const Size& of) { return of.length.um + of.width.um + of.thickness.um; },
        units == Units::us ? 3 * 794 : 3 * 50);
}

void see_amount(std::string_view text) {
  const auto amount = fuzz::accepted([&] { return parse_amount(text, what); });
  if (!amount) return;
  const bool large = amount->value >= 1'000'000;
  const bool volume = amount->measure == Amount::Measure::volume;
  see_quantity(text, parse_amount,
               [&](const Amount& of) {
                 fuzz::demand(of.measure == amount->measure, "a volume stays one",
                              std::string(text));
                 return of.value;
               },
               {1500, 999'990'000, large ? 5000.0 : 500.0, volume ? 1479.0 : 1418.0});
}

void see_length_of_time(std::string_view text) {
  const auto length = fuzz::accepted([&] { return parse_duration(text, what); });
  if (!length) return;
  fuzz::demand(length->count() >= 0, "no length of time is below nothing", std::string(text));
  const std::string shown = show(*length);
  const std::int64_t lost = (*length - parse_duration(shown, what)).count();
  const std::int64_t least = length->count() >= 86400 ? 3600 : length->count() >= 3600 ? 60 : 1;
  fuzz::demand(lost >= 0 && lost < least, "what is shown lacks less than the last unit", shown);
}

void see_moment(std::string_view text, const Zone& zone) {
  const Instant now = std::chrono::sys_days(Day{std::chrono::year(2026), std::chrono::month(3),
                                                std::chrono::day(28)}) +
                      std::chrono::hours(14);
  const auto moment = fuzz::accepted([&] { return zone.parse(text, now, what); });
  if (!moment) return;
  fuzz::demand(instant_from_iso(iso(moment->at)) == moment->at, "a moment is kept as it is",
               iso(moment->at));
  fuzz::demand(zone.parse(iso(*moment), now, what) == *moment, "a moment is read as written",
               iso(*moment));
  fuzz::demand(!show(*moment).empty(), "a moment is shown");
}

void see_day(std::string_view text) {
  const auto day = fuzz::accepted([&] { return parse_day(text, what); });
  if (!day) return;
  fuzz::demand(iso(*day) == text, "a day is written as read", std::string(text));
  fuzz::demand(!show(*day).empty(), "a day is shown");
}

void see_hours(std::string_view text) {
  const auto hours = fuzz::accepted([&] { return parse_hours(text, what); });
  if (!hours) return;
  const std::string shown = show(*hours);
  fuzz::demand(parse_hours(shown, what) == *hours, "hours are read as shown", shown);
  fuzz::demand(hours_from_json(Json::parse(to_json(*hours).text())) == *hours, "hours are kept",
               shown);
}

void see_count(std::string_view text, std::int64_t most) {
  const auto count = fuzz::accepted([&] { return parse_count(text, what, 0, most); });
  if (!count) return;
  fuzz::demand(*count >= 0 && *count <= most, "a count keeps its limits", std::string(text));
  fuzz::demand(std::stoll(std::string(text)) == *count, "a count is what it says",
               std::string(text));
}

}  // namespace

extern "C" int LLVMFuzzerTestOneInput(const std::uint8_t* data, std::size_t size) {
  // With clock changes of an hour and of half of one, a day left out, and an odd time before zones.
  static const std::array zones{Zone("Europe/London"), Zone("America/New_York"),
                                Zone("Australia/Lord_Howe"), Zone("Pacific/Apia")};
  fuzz::Bytes in(data, size);
  const Zone& zone = in.choice(zones);
  const std::string text = in.line();
  see_quantity(text, parse_temperature, [](Celsius of) { return of.milli; },
               {-40'000, 100'000, 50, 278});
  see_percent(text, parse_humidity);
  see_percent(text, parse_moisture);
  see_quantity(text, parse_length, [](Length of) { return of.um; }, {800, 9'999'000, 50, 794});
  see_quantity(text, parse_coverage, [](Coverage of) { return of.cm2_per_l; },
               {1200, 9'999'000, 500, 123});
  see_size(text);
  see_amount(text);
  see_length_of_time(text);
  see_moment(text, zone);
  see_day(text);
  see_hours(text);
  see_count(text, 20'000);
  return 0;
}
