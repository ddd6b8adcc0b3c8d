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

std::int64_t entries_held(const book::Book& book) {
  std::int64_t out = book.entry_count();
  for (const Rescued& rescue : book::rescues_of(book))
    for (const Gap& gap : rescue.gaps) out -= gap.last - gap.first + 1;
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
