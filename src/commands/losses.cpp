#include "commands/losses.h"

#include <algorithm>

#include "book/queries.h"

namespace trencher::commands {

engine::Losses all_losses(Call& call) {
  engine::Losses out;
  for (const Rescued& rescue : book::rescues_of(call.book())) {
    out.gaps.insert(out.gaps.end(), rescue.gaps.begin(), rescue.gaps.end());
    out.open_end = out.open_end || rescue.open_end;
  }
  return out;
}

bool is_lost_person(const book::Book& book, const std::string& id) {
  const std::vector<Rescued> rescues = book::rescues_of(book);
  return std::any_of(rescues.begin(), rescues.end(), [&](const Rescued& rescue) {
    return std::find(rescue.persons.begin(), rescue.persons.end(), id) != rescue.persons.end();
  });
}

void say_losses(Call& call) {
  if (const engine::Losses losses = all_losses(call); losses.any()) call.say(losses.sentence());
}

}  // namespace trencher::commands
