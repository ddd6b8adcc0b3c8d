// People of the vault, by what is typed of them.
#pragma once

#include <string>

#include "book/book.h"
#include "domain/records.h"

namespace trencher::commands {

// The same name and contact is the same person; a new one is kept in the vault.
book::Person person_of(book::Writing& writing, book::Book& book, const std::string& name,
                       const std::string& contact);
// The name of a person of the vault; "(forgotten)".
std::string person_name(const book::Book& book, const std::string& id);
// "a stranger at Eastwold market"
std::string stranger_words(const std::string& event);
// Whom a board went to: the name, "(forgotten)", or the stranger.
std::string recipient_name(const book::Book& book, const Gift& gift);

}  // namespace trencher::commands
