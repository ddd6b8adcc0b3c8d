// Local time in the workshop's zone, by the IANA zone database (Debian's tzdata). The first look-up
// costs about 1.5 ms, so a Zone is made where a local time is read or a future one shown.
#pragma once

#include <string>
#include <string_view>

#include "domain/time.h"

namespace date {
class time_zone;
}

namespace trencher {

class Zone {
 public:
  // `name` is an IANA name such as "Europe/London". Error::request with near names where unknown.
  explicit Zone(std::string_view name);

  Moment moment(Instant at) const;

  // Reads what people type: "2026-12-05 14:30", "2026-12-05" (noon of that day), ISO 8601 with an
  // offset or Z, "today 18:00", "yesterday 18:00", "2h ago", "now". A local time that a clock
  // change skips or doubles is refused with the choices shown. Errors are Error::request naming
  // `what`.
  Moment parse(std::string_view text, Instant now, std::string_view what) const;

  // The first local day that begins at or after `at`.
  Day first_day_from(Instant at) const;

 private:
  Moment from_local(std::string_view day, std::string_view clock, std::string_view text,
                    std::string_view what) const;
  const date::time_zone* zone_;
};

}  // namespace trencher
