#include "commands/people.h"

#include <fmt/format.h>

#include <optional>

#include "book/queries.h"
#include "commands/losses.h"

namespace trencher::commands {

book::Person person_of(book::Writing& writing, book::Book& book, const std::string& name,
                       const std::string& contact) {
  std::optional<book::Person> known;
  book.each_person([&](const book::Person& person) {
    if (person.name == name && person.contact == contact) known = person;
  });
  if (known) return *known;
  book::Person made = book::new_person(name, contact);
  writing.keep(made);
  return made;
}

std::string person_name(const book::Book& book, const std::string& id) {
  const auto person = book.person(id);
  if (person) return person->name;
  return is_lost_person(book, id) ? fmt::format("({})", book::lost_words) : "(forgotten)";
}

std::string stranger_words(const std::string& event) {
  return event.empty() ? "a stranger" : fmt::format("a stranger at {}", event);
}

std::string recipient_name(const book::Book& book, const Gift& gift) {
  return gift.is_to_stranger() ? stranger_words(gift.event) : person_name(book, gift.person);
}

}  // namespace trencher::commands
