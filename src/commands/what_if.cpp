#include "commands/what_if.h"

#include <fmt/format.h>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

engine::Stay WhatIf::from(Instant now, engine::Stay stay) const {
  stay.from = std::max(stay.from, now);
  stay.place.name += " (as asked with --if)";
  if (temp) stay.place.temp = temp;
  if (rh) stay.place.rh = rh;
  return stay;
}

std::string WhatIf::text(Units units) const {
  std::vector<std::string> both;
  if (temp) both.push_back(show(*temp, units));
  if (rh) both.push_back(show(*rh));
  return join(both, " and ");
}

void declare_what_if(Call& call, std::vector<std::string>& words) {
  call.list("--if", "temp=12C|rh=60", words,
            "what if the shop were so from now on; nothing is written");
}

WhatIf parse_what_if(const std::vector<std::string>& words) {
  WhatIf out;
  for (const std::string& word : words) {
    const auto equals = word.find('=');
    const std::string name = word.substr(0, equals);
    const std::string value = equals == std::string::npos ? "" : word.substr(equals + 1);
    if ((name != "temp" && name != "rh") || value.empty())
      throw Error::request(fmt::format("--if '{}': write temp=12C or rh=60.", word));
    if (name == "temp" ? out.temp.has_value() : out.rh.has_value())
      throw Error::request(fmt::format("--if says {} twice.", name));
    if (name == "temp")
      out.temp = parse_temperature(value, "--if temp");
    else
      out.rh = parse_humidity(value, "--if rh");
  }
  return out;
}

}  // namespace trencher::commands
