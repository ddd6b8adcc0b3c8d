#include "commands/copies.h"

#include <fmt/format.h>

#include "domain/text.h"

namespace trencher::commands {

int report_copy(Call& call, const std::string& what, const std::filesystem::path& file,
                std::int64_t entries, const std::string& last_hash, const char* mind,
                const Json& more) {
  if (!call.json()) {
    call.say(fmt::format("{}: {}, {}, last hash {}.", what, file.string(),
                         count_of(entries, "entry", "entries"), last_hash));
    call.say_list("Mind:", mind);
  }
  Json out = Json::object();
  out.set("file", file.string()).set("entries", entries);
  out.set("last_hash", last_hash);
  for (const auto& [name, value] : more.members()) out.set(name, value);
  return call.done(out);
}

}  // namespace trencher::commands
