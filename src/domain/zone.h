// Local time in the workshop's zone, by the IANA zone database (Debian's tzdata), of which only the
// zone's own file is read. A Zone is made where a local time is read or a future one shown. Moments
// in the machine's own zone are told by the C library; its file is read where a local time is.
#pragma once

#include <memory>
#include <optional>
#include <string>
#include <string_view>
#include <vector>

#include "domain/time.h"

namespace trencher {

// The clocks of a zone from one change to the next.
struct ZoneSpan {
  std::optional<Instant> begin;  // absent: before it the database knows of no change
  Seconds offset;                // local time minus UTC
  Seconds offset_before;         // before `begin`; the same where that is absent
  std::string abbreviation;      // "GMT", "+11"
  // Ahead of the time that it takes turns with. The database calls Dublin's winter the daylight
  // saving time, an hour behind its standard time in summer; here summer is, as elsewhere.
  bool daylight = false;
};

class Zone {
 public:
  // `name` is an IANA name such as "Europe/London". Error::request with near names where unknown.
  explicit Zone(std::string_view name);
  Zone(Zone&&) noexcept;
  Zone& operator=(Zone&&) noexcept;
  ~Zone();

  Moment moment(Instant at) const;

  // Reads what people type: "2026-12-05 14:30", "2026-12-05" (noon of that day), ISO 8601 with an
  // offset or Z, "today 18:00", "yesterday 18:00", "2h ago", "now". A local time that a clock
  // change skips or doubles is refused with the choices shown. Errors are Error::request naming
  // `what`.
  Moment parse(std::string_view text, Instant now, std::string_view what) const;

  // The first local day that begins at or after `at`.
  Day first_day_from(Instant at) const;
  // When it is that minute of that day (24 * 60: its end). The first of two where the clocks go
  // back; the moment of the change where they skip it.
  Instant at(Day day, int minute = 0) const;

  // Those in force from `from` to `to`, in order. REQUIRES: from <= to.
  std::vector<ZoneSpan> spans(Instant from, Instant to) const;

 private:
  Moment from_local(std::string_view day, std::string_view clock, std::string_view text,
                    std::string_view what) const;
  class Rules;
  std::unique_ptr<Rules> rules_;
};

// The zone that this machine is set to (TZ, else /etc/localtime); nothing where it is not told.
std::optional<std::string> zone_of_machine();
// The country that most of the zone lies in, by the database's zone.tab; empty where there is none.
std::string country_of_zone(std::string_view name);

}  // namespace trencher
