#include "commands/unchanged.h"

namespace trencher::commands {

int unchanged(Call& call, const std::string& id, const std::string& said) {
  if (!call.json()) call.say(said);
  return call.done(
      Json::object().set_or_null("entry", Json()).set("id", id).set("findings", Json::array()));
}

}  // namespace trencher::commands
