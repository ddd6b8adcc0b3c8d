// Clock changes as the IANA zone database has them (Debian's tzdata); zdump -v shows each.
#include "domain/zone.h"

#include <catch2/catch.hpp>
#include <cstdlib>
#include <ctime>
#include <optional>

#include "refusal.h"

using namespace trencher;

namespace {

const Instant now = instant_from_iso("2026-06-10T09:15:00Z");

std::string read(const char* zone, std::string_view text, Instant at = now) {
  return iso(Zone(zone).parse(text, at, "Time"));
}

std::string refused(const char* zone, std::string_view text) {
  return refusal([&] { read(zone, text); });
}

std::string first_day(const char* zone, std::string_view at) {
  return iso(Zone(zone).first_day_from(instant_from_iso(at)));
}

// "2026-03-29T01:00:00Z 0 60 BST daylight": from when on, minutes before and then.
std::vector<std::string> spans(const char* zone, const char* from, const char* to) {
  std::vector<std::string> out;
  for (const ZoneSpan& span : Zone(zone).spans(instant_from_iso(from), instant_from_iso(to)))
    out.push_back((span.begin ? iso(*span.begin) : std::string("ever")) + " " +
                  std::to_string(span.offset_before.count() / 60) + " " +
                  std::to_string(span.offset.count() / 60) + " " + span.abbreviation +
                  (span.daylight ? " daylight" : ""));
  return out;
}

// The machine set to a zone, as by its owner.
class MachineIn {
 public:
  explicit MachineIn(const char* zone) : before_(std::getenv("TZ") ? std::getenv("TZ") : "") {
    setenv("TZ", zone, 1);
    tzset();
  }
  ~MachineIn() {
    before_.empty() ? unsetenv("TZ") : setenv("TZ", before_.c_str(), 1);
    tzset();
  }
  MachineIn(const MachineIn&) = delete;
  MachineIn& operator=(const MachineIn&) = delete;

 private:
  std::string before_;
};

using Spans = std::vector<std::string>;

}  // namespace

TEST_CASE("zone: a moment carries the offset in force") {
  const auto shown = [](const char* zone, std::string_view at) {
    return iso(Zone(zone).moment(instant_from_iso(at)));
  };
  CHECK(shown("Europe/London", "2026-01-15T12:00:00Z") == "2026-01-15T12:00:00+00:00");
  CHECK(shown("Europe/London", "2026-07-15T12:00:00Z") == "2026-07-15T13:00:00+01:00");
  CHECK(shown("America/New_York", "2026-01-15T12:00:00Z") == "2026-01-15T07:00:00-05:00");
  CHECK(shown("Asia/Kolkata", "2026-01-15T12:00:00Z") == "2026-01-15T17:30:00+05:30");
  CHECK(shown("Australia/Lord_Howe", "2026-01-15T12:00:00Z") == "2026-01-15T23:00:00+11:00");
  CHECK(shown("Australia/Lord_Howe", "2026-07-15T12:00:00Z") == "2026-07-15T22:30:00+10:30");
  // The second before a change and the change.
  CHECK(shown("Europe/London", "2026-03-29T00:59:59Z") == "2026-03-29T00:59:59+00:00");
  CHECK(shown("Europe/London", "2026-03-29T01:00:00Z") == "2026-03-29T02:00:00+01:00");
}

TEST_CASE("zone: a moment that the book could not write is refused") {
  for (const char* text : {"0000-01-01", "0001-01-01 00:00", "1899-12-31T23:59Z",
                           "9999-12-31T00:00Z", "9999-12-31T23:59-14:00"}) {
    INFO(text);
    CHECK(refused("Europe/London", text).find("lies outside the years 1900 to 9999") !=
          std::string::npos);
  }
  CHECK(read("Europe/London", "1900-01-01 00:00") == "1900-01-01T00:00:00+00:00");
  CHECK(read("Europe/London", "9999-12-30T23:59Z") == "9999-12-30T23:59:00+00:00");
}

TEST_CASE("zone: an unknown zone is refused with near names") {
  // Which others are near depends on the database.
  CHECK(refusal([] { Zone("Europe/Londn"); })
            .starts_with(
                "request: Zone 'Europe/Londn' is not in the zone database, which has names such as "
                "Europe/London. Did you mean 'Europe/London', "));
  CHECK(refusal([] { Zone("nowhere at all, not even near it"); }) ==
        "request: Zone 'nowhere at all, not even near it' is not in the zone database, which has "
        "names "
        "such as Europe/London.");
  CHECK(refusal([] { Zone(""); }).starts_with("request: Zone '' is not"));
  CHECK(refusal([] {
          Zone("../../etc/passwd");
        }).starts_with("request: Zone '../../etc/passwd' is not"));
}

TEST_CASE("zone: what people type is read in the workshop's zone") {
  CHECK(read("Europe/London", "2026-12-05 14:30") == "2026-12-05T14:30:00+00:00");
  CHECK(read("Europe/London", "2026-06-05 14:30") == "2026-06-05T14:30:00+01:00");
  CHECK(read("Europe/London", "2026-06-05T14:30:15") == "2026-06-05T14:30:15+01:00");
  CHECK(read("Europe/London", "2026-06-05") == "2026-06-05T12:00:00+01:00");
  CHECK(read("Europe/London", "2026-06-05 00:00") == "2026-06-05T00:00:00+01:00");
  CHECK(read("Europe/London", "2026-06-05 23:59:59") == "2026-06-05T23:59:59+01:00");
  CHECK(read("Europe/London", "now") == "2026-06-10T10:15:00+01:00");
  CHECK(read("Europe/London", "2h ago") == "2026-06-10T08:15:00+01:00");
  CHECK(read("Europe/London", "1d 2h ago") == "2026-06-09T08:15:00+01:00");
  CHECK(read("Europe/London", "today 08:00") == "2026-06-10T08:00:00+01:00");
  CHECK(read("Europe/London", "yesterday 18:00") == "2026-06-09T18:00:00+01:00");
}

TEST_CASE("zone: a time with an offset is that moment shown in the workshop's zone") {
  CHECK(read("Europe/London", "2026-12-05T14:30:00Z") == "2026-12-05T14:30:00+00:00");
  CHECK(read("Europe/London", "2026-06-05T14:30Z") == "2026-06-05T15:30:00+01:00");
  CHECK(read("Europe/London", "2026-06-05T14:30z") == "2026-06-05T15:30:00+01:00");
  CHECK(read("Europe/London", "2026-06-05T14:30:00+02:00") == "2026-06-05T13:30:00+01:00");
  CHECK(read("Europe/London", "2026-06-05 14:30-05:30") == "2026-06-05T21:00:00+01:00");
  CHECK(read("Europe/London", "2026-06-05T14:30+14:00") == "2026-06-05T01:30:00+01:00");
}

TEST_CASE("zone: today and yesterday are local days") {
  // 03:30 UTC is the evening before in New York and the same day in Tokyo.
  const Instant night = instant_from_iso("2026-06-10T03:30:00Z");
  CHECK(read("America/New_York", "today 18:00", night) == "2026-06-09T18:00:00-04:00");
  CHECK(read("America/New_York", "yesterday 18:00", night) == "2026-06-08T18:00:00-04:00");
  CHECK(read("Asia/Tokyo", "today 18:00", night) == "2026-06-10T18:00:00+09:00");
}

TEST_CASE("zone: what is no time is refused") {
  for (const std::string text : {"",
                                 "soon",
                                 "2026-12-05 24:00",
                                 "2026-12-05 14:60",
                                 "2026-12-05 14:30:60",
                                 "2026-12-05 1430",
                                 "2026-02-30 14:30",
                                 "2026-02-30",
                                 "today",
                                 "today18:00",
                                 "today ",
                                 "yesterday 25:00",
                                 "05.12.2026 14:30",
                                 "2026-12-05-14:30",
                                 "2026-12-05 14:30+1:00",
                                 "2026-12-05 14:30+15:00",
                                 "2026-12-05 14:30+14:01",
                                 "2026-12-05 14:30+01:60",
                                 "2026-12-05 14:30 PM",
                                 "2026-12-05 -1:30",
                                 "2026-12-05 14:30:0a",
                                 "2026-12-05 14.30:00",
                                 "2026-12-05 14:30.00",
                                 "2026-02-30T14:30Z"})
    CHECK(
        refused("Europe/London", text) ==
        "request: Time '" + text +
            "' is no time that is understood; write 2026-12-05 14:30, yesterday 18:00 or 2h ago.");
  CHECK(refused("Europe/London", "soon ago") ==
        "request: Time 'soon' is no length of time; write a whole number with min, h, d or w, as "
        "36h or 2d.");
}

TEST_CASE("zone: a time that a clock change skips is refused with both choices") {
  CHECK(refused("Europe/London", "2026-03-29 01:30") ==
        "request: Time '2026-03-29 01:30' does not exist: it is skipped when the clocks change; "
        "write "
        "2026-03-29T02:30:00+01:00 or 2026-03-29T00:30:00+00:00.");
  CHECK(refused("America/New_York", "2026-03-08 02:30") ==
        "request: Time '2026-03-08 02:30' does not exist: it is skipped when the clocks change; "
        "write "
        "2026-03-08T03:30:00-04:00 or 2026-03-08T01:30:00-05:00.");
  // Lord Howe Island moves by half an hour.
  CHECK(refused("Australia/Lord_Howe", "2026-10-04 02:15") ==
        "request: Time '2026-10-04 02:15' does not exist: it is skipped when the clocks change; "
        "write "
        "2026-10-04T02:45:00+11:00 or 2026-10-04T01:45:00+10:30.");
  CHECK(read("Australia/Lord_Howe", "2026-10-04 02:30") == "2026-10-04T02:30:00+11:00");
  CHECK(read("Europe/London", "2026-03-29 00:59:59") == "2026-03-29T00:59:59+00:00");
  CHECK(read("Europe/London", "2026-03-29 02:00") == "2026-03-29T02:00:00+01:00");
}

TEST_CASE("zone: a time that a clock change doubles is refused with both choices") {
  CHECK(refused("Europe/London", "2026-10-25 01:30") ==
        "request: Time '2026-10-25 01:30' happens twice when the clocks change; write "
        "2026-10-25T01:30:00+01:00 or 2026-10-25T01:30:00+00:00.");
  CHECK(refused("America/New_York", "2026-11-01 01:30") ==
        "request: Time '2026-11-01 01:30' happens twice when the clocks change; write "
        "2026-11-01T01:30:00-04:00 or 2026-11-01T01:30:00-05:00.");
  CHECK(refused("Australia/Lord_Howe", "2026-04-05 01:45") ==
        "request: Time '2026-04-05 01:45' happens twice when the clocks change; write "
        "2026-04-05T01:45:00+11:00 or 2026-04-05T01:45:00+10:30.");
  CHECK(read("Europe/London", "2026-10-25 00:59:59") == "2026-10-25T00:59:59+01:00");
  CHECK(read("Europe/London", "2026-10-25 02:00") == "2026-10-25T02:00:00+00:00");
}

TEST_CASE("zone: each choice that a refusal shows is read") {
  for (const auto* text : {"2026-03-29T02:30:00+01:00", "2026-03-29T00:30:00+00:00",
                           "2026-10-25T01:30:00+01:00", "2026-10-25T01:30:00+00:00"})
    CHECK(read("Europe/London", text) == text);
}

TEST_CASE("zone: today and yesterday refuse a skipped time too") {
  const Instant after = instant_from_iso("2026-03-29T12:00:00Z");
  CHECK(refusal([&] { read("Europe/London", "today 01:30", after); }) ==
        "request: Time 'today 01:30' does not exist: it is skipped when the clocks change; write "
        "2026-03-29T02:30:00+01:00 or 2026-03-29T00:30:00+00:00.");
  // An hour ago is an hour, whatever the clocks did.
  CHECK(read("Europe/London", "12h ago", after) == "2026-03-29T00:00:00+00:00");
}

TEST_CASE("zone: the first day from a moment begins at or after it") {
  CHECK(first_day("Europe/London", "2026-01-15T00:00:00Z") == "2026-01-15");
  CHECK(first_day("Europe/London", "2026-01-15T00:00:01Z") == "2026-01-16");
  CHECK(first_day("Europe/London", "2026-01-14T23:59:59Z") == "2026-01-15");
  CHECK(first_day("Europe/London", "2026-07-14T23:00:00Z") == "2026-07-15");  // midnight in summer
  CHECK(first_day("Europe/London", "2026-07-14T23:00:01Z") == "2026-07-16");
  CHECK(first_day("America/New_York", "2026-01-15T05:00:00Z") == "2026-01-15");
  CHECK(first_day("Asia/Tokyo", "2025-12-31T15:00:00Z") == "2026-01-01");
  CHECK(first_day("Europe/London", "2026-12-31T00:00:01Z") == "2027-01-01");
}

TEST_CASE("zone: a clock change does not move where a day begins") {
  // The days around London's changes begin by the offset before the change.
  CHECK(first_day("Europe/London", "2026-03-29T00:00:00Z") == "2026-03-29");
  CHECK(first_day("Europe/London", "2026-03-29T23:00:00Z") == "2026-03-30");
  CHECK(first_day("Europe/London", "2026-03-29T23:00:01Z") == "2026-03-31");
  CHECK(first_day("Europe/London", "2026-10-24T23:00:00Z") == "2026-10-25");
  CHECK(first_day("Europe/London", "2026-10-25T23:30:00Z") == "2026-10-26");
  CHECK(first_day("Europe/London", "2026-10-26T00:00:00Z") == "2026-10-26");
}

TEST_CASE("zone: a day whose midnight is skipped begins at the change") {
  // Clocks went from 23:59:59 on the 3rd to 01:00 on the 4th at 03:00 UTC.
  CHECK(first_day("America/Sao_Paulo", "2018-11-04T03:00:00Z") == "2018-11-04");
  CHECK(first_day("America/Sao_Paulo", "2018-11-04T02:59:59Z") == "2018-11-04");
  CHECK(first_day("America/Sao_Paulo", "2018-11-04T03:00:01Z") == "2018-11-05");
  CHECK(refused("America/Sao_Paulo", "2018-11-04 00:00")
            .starts_with("request: Time '2018-11-04 00:00' does not exist"));
  // And from midnight back to 23:00, so that the evening before lasted longer.
  CHECK(first_day("America/Sao_Paulo", "2018-02-18T02:00:00Z") == "2018-02-18");
  CHECK(first_day("America/Sao_Paulo", "2018-02-18T03:00:00Z") == "2018-02-18");
  CHECK(first_day("America/Sao_Paulo", "2018-02-18T03:00:01Z") == "2018-02-19");
  // Havana's midnight happens twice; the day begins with the first.
  CHECK(first_day("America/Havana", "2026-11-01T04:00:00Z") == "2026-11-01");
  CHECK(first_day("America/Havana", "2026-11-01T04:00:01Z") == "2026-11-02");
}

TEST_CASE("zone: a day that never happened is not given as a date") {
  // Samoa crossed the date line: 2011-12-29 was followed by 2011-12-31 at 10:00 UTC on the 30th.
  CHECK(first_day("Pacific/Apia", "2011-12-30T09:00:00Z") == "2011-12-31");
  CHECK(first_day("Pacific/Apia", "2011-12-30T10:00:00Z") == "2011-12-31");
  CHECK(first_day("Pacific/Apia", "2011-12-30T10:00:01Z") == "2012-01-01");
}

TEST_CASE("zone: the changes of the clocks between two moments") {
  CHECK(spans("Europe/London", "2026-01-15T12:00:00Z", "2026-11-01T00:00:00Z") ==
        Spans{"2025-10-26T01:00:00Z 60 0 GMT", "2026-03-29T01:00:00Z 0 60 BST daylight",
              "2026-10-25T01:00:00Z 60 0 GMT"});
  // The moment of a change is in what begins there.
  CHECK(spans("Europe/London", "2026-03-29T00:59:59Z", "2026-03-29T01:00:00Z").size() == 2);
  CHECK(spans("Europe/London", "2026-03-29T01:00:00Z", "2026-03-29T01:00:00Z") ==
        Spans{"2026-03-29T01:00:00Z 0 60 BST daylight"});
  CHECK(spans("Australia/Lord_Howe", "2026-04-01T00:00:00Z", "2026-05-01T00:00:00Z") ==
        Spans{"2025-10-04T15:30:00Z 630 660 +11 daylight", "2026-04-04T15:00:00Z 660 630 +1030"});
}

TEST_CASE("zone: daylight saving time is ahead even where the database has it behind") {
  CHECK(spans("Europe/Dublin", "2026-01-15T12:00:00Z", "2026-07-01T00:00:00Z") ==
        Spans{"2025-10-26T01:00:00Z 60 0 GMT", "2026-03-29T01:00:00Z 0 60 IST daylight"});
  // Morocco goes back an hour for Ramadan.
  CHECK(spans("Africa/Casablanca", "2025-01-15T12:00:00Z", "2025-03-10T00:00:00Z") ==
        Spans{"2024-04-14T02:00:00Z 0 60 +01 daylight", "2025-02-23T02:00:00Z 60 0 +00"});
  // Istanbul kept its summer time in 2016 and calls it standard since.
  CHECK(spans("Europe/Istanbul", "2016-08-01T00:00:00Z", "2026-01-01T00:00:00Z") ==
        Spans{"2016-03-27T01:00:00Z 120 180 EEST daylight", "2016-09-06T21:00:00Z 180 180 +03"});
}

TEST_CASE("zone: a zone without changes has always been as it is") {
  CHECK(spans("UTC", "2026-01-15T12:00:00Z", "2030-01-15T12:00:00Z") == Spans{"ever 0 0 UTC"});
}

TEST_CASE("zone: names that the library takes and the database does not have are refused") {
  for (const char* name : {"", "Fixed/UTC+01:00:00", "posix/Europe/London", "right/Europe/London",
                           "../zoneinfo/Europe/London", "/usr/share/zoneinfo/Europe/London",
                           ":Europe/London", "Europe", "Europe/", "localtime", "posixrules",
                           "zone.tab", "tzdata.zi", "Europe/London/"}) {
    CAPTURE(name);
    CHECK(refusal([&] { Zone zone(name); }).find("is not in the zone database") !=
          std::string::npos);
  }
  CHECK(refusal([] { Zone zone("Europe/Londno"); }).find("Europe/London") != std::string::npos);
}

// By the rule at the end of the zone's file (RFC 8536 section 3.3), behind its last listed change.
TEST_CASE("zone: summer time goes on after 2037") {
  const Zone london("Europe/London");
  CHECK(iso(london.moment(instant_from_iso("2041-07-01T12:00:00Z"))) ==
        "2041-07-01T13:00:00+01:00");
  CHECK(iso(london.moment(instant_from_iso("2041-12-01T12:00:00Z"))) ==
        "2041-12-01T12:00:00+00:00");
}

// Two libraries that read the same files: glibc where the machine is in the zone, Abseil where not.
TEST_CASE("zone: on a machine in the workshop's zone moments are the same") {
  for (const char* name : {"Europe/London", "Europe/Dublin", "America/New_York", "Asia/Kolkata",
                           "Australia/Lord_Howe", "America/Sao_Paulo", "Africa/Casablanca",
                           "Pacific/Apia", "Etc/UTC", "Asia/Tehran", "Pacific/Chatham"}) {
    INFO(name);
    std::optional<Zone> elsewhere, here;
    {
      const MachineIn none("");
      elsewhere.emplace(name);
    }
    const MachineIn machine(name);
    here.emplace(name);
    const Instant begin = instant_from_iso("1900-01-01T00:30:00Z"),
                  end = instant_from_iso("2110-01-01T00:00:00Z");
    std::size_t unlike = 0;
    const auto compare = [&](Instant at) {
      if (iso(here->moment(at)) != iso(elsewhere->moment(at))) ++unlike;
    };
    for (Instant at = begin; at < end; at += Seconds(53 * 3600 + 1)) compare(at);
    for (const ZoneSpan& span : elsewhere->spans(begin, end))
      for (const int beside : {-1, 0, 1})
        if (span.begin) compare(*span.begin + Seconds(beside));
    CHECK(unlike == 0);
  }
}

TEST_CASE("zone: what a machine in the workshop's zone is told is read as elsewhere") {
  const MachineIn machine("Europe/London");
  CHECK(read("Europe/London", "yesterday 18:00") == "2026-06-09T18:00:00+01:00");
  CHECK(refused("Europe/London", "2026-03-29 01:30").find("is skipped") != std::string::npos);
  CHECK(first_day("Europe/London", "2026-06-10T09:15:00Z") == "2026-06-11");
}

// glibc would look there, find nothing and count in UTC.
TEST_CASE("zone: another database of the C library is not gone by") {
  const Zone read_before("Europe/London");  // Abseil keeps what it has read
  setenv("TZDIR", "/nowhere", 1);
  {
    const MachineIn machine("Europe/London");
    CHECK(read("Europe/London", "2026-06-10") == "2026-06-10T12:00:00+01:00");
  }
  unsetenv("TZDIR");
}

TEST_CASE("zone: a machine whose zone is set to nothing is in none") {
  const MachineIn machine("");
  CHECK_FALSE(zone_of_machine());
  CHECK(read("Europe/London", "2026-06-10") == "2026-06-10T12:00:00+01:00");
}

TEST_CASE("zone: a machine set to what is no zone does not make it one") {
  const MachineIn machine("leapseconds");
  CHECK(refusal([] { Zone zone("leapseconds"); }).find("not in the zone database") !=
        std::string::npos);
}
