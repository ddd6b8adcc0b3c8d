// People of the vault, by what is typed of them.
#pragma once

#include <string>

#include "book/book.h"

namespace trencher::commands {

// The same name and contact is the same person; a new one is kept in the vault.
book::Person person_of(book::Writing& writing, book::Book& book, const std::string& name,
                       const std::string& contact);
// The name of a person of the vault; "(forgotten)".
std::string person_name(const book::Book& book, const std::string& id);

}  // namespace trencher::commands
