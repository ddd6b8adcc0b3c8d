#include "commands/people.h"

#include <optional>

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
  return person ? person->name : "(forgotten)";
}

}  // namespace trencher::commands
