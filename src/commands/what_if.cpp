#include "commands/what_if.h"

#include <fmt/format.h>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

engine::SharedStay WhatIf::from(Instant now, const engine::SharedStay& stay) const {
  return {std::max(stay.from, now), std::make_shared<const engine::PlaceLog>(stay.log->declared_as(
                                        stay.log->name() + " (as asked with --if)", temp, rh))};
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
      throw Error::request(fmt::format("--if says {} twice; give it once.", name));
    if (name == "temp")
      out.temp = parse_temperature(value, "--if temp");
    else
      out.rh = parse_humidity(value, "--if rh");
  }
  return out;
}

}  // namespace trencher::commands
