// Whether the vault holds what the journal names, as it names it, and nothing else.
#pragma once

#include <functional>
#include <set>
#include <string>
#include <unordered_map>
#include <vector>

#include "book/book.h"
#include "book/chain.h"

namespace trencher::book {

class VaultCheck {
 public:
  // What of the vault an entry names. Error::book where the body lacks what it must have.
  void hear(const Entry& entry, const Json& body);

  struct Missing {
    std::size_t persons = 0, files = 0;  // that a rescue found lost
  };
  // `whole`: all of the journal was heard.
  Missing look(const Book& book, const std::set<std::string>& lost_persons,
               const std::set<std::string>& lost_files, bool whole,
               const std::function<void(std::string)>& problem) const;

 private:
  void names(const Json& body);
  std::set<std::string> files_, forgotten_;
  // Of each person: one, in an unaltered book. Asked once for each entry that names a person.
  std::unordered_map<std::string, std::vector<std::string>> seals_;
};

}  // namespace trencher::book
