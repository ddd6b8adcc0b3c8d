#include "book/verify.h"

#include <fmt/format.h>

#include "commands/command.h"
#include "domain/text.h"

namespace trencher::commands {

int verify(Call& call) {
  call.parse();
  const book::Verdict verdict = book::verify(call.book());
  if (!call.json()) {
    const std::string about = fmt::format(
        "{}, last hash {}", count_of(verdict.entries, "entry", "entries"), verdict.last_hash);
    if (verdict.whole()) {
      call.say(fmt::format("The book is unaltered: {}. Unaltered does not mean correct.", about));
    } else {
      call.say(fmt::format("The book is not as the program wrote it: {}.", about));
      for (const std::string& problem : verdict.problems) call.say_list("  -", problem);
      call.say("Keep this file as it is and go on with the last backup that verifies.");
    }
  }
  Json out = Json::object();
  out.set("whole", verdict.whole()).set("entries", verdict.entries);
  out.set("last_hash", verdict.last_hash).set("problems", Json::list(verdict.problems));
  call.done(out);
  return verdict.whole() ? 0 : 1;
}

}  // namespace trencher::commands
