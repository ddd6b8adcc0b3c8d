#include "book/vault_check.h"

#include <fmt/format.h>

#include <algorithm>

#include "domain/records.h"
#include "domain/text.h"

namespace trencher::book {

void VaultCheck::hear(const Entry& entry, const Json& body) {
  if (entry.kind == "forget") {  // names a person whom the vault is to hold no more
    forgotten_.insert(Forgotten::read(body).person);
    return;
  }
  names(body);
  if (entry.kind == "correction") names(body.at("body"));
}

void VaultCheck::names(const Json& body) {
  if (const auto file = body.maybe_text("file_sha256")) files_.insert(*file);
  if (body.find("person")) {
    const std::string &person = body.text("person"), &seal = body.text("seal");
    std::vector<std::string>& known = seals_[person];
    if (std::find(known.begin(), known.end(), seal) == known.end()) known.push_back(seal);
  }
}

VaultCheck::Missing VaultCheck::look(const Book& book, const std::set<std::string>& lost_persons,
                                     const std::set<std::string>& lost_files, bool whole,
                                     const std::function<void(std::string)>& problem) const {
  Missing out;
  std::set<std::string> here;
  book.each_person([&](const Person& person) {
    here.insert(here.end(), person.id);  // they come in order
    if (forgotten_.contains(person.id))
      problem(
          fmt::format("The vault holds a person ({}) whom an entry says is forgotten.", person.id));
    const auto named = seals_.find(person.id);
    if (named == seals_.end() && !whole) return;  // what names them may be behind
    if (named == seals_.end())
      problem(fmt::format("The vault holds a person ({}) whom no entry names.", person.id));
    else if (named->second != std::vector{seal(person)})
      problem(
          fmt::format("A person in the vault ({}) was altered: the seal does not fit.", person.id));
  });
  std::set<std::string> missing;
  for (const auto& [person, sealed] : seals_)
    if (!here.contains(person) && !forgotten_.contains(person)) missing.insert(person);
  for (const std::string& person : missing) {
    if (lost_persons.contains(person))
      ++out.persons;
    else
      problem(fmt::format("A person that entries name ({}) is missing from the vault.", person));
  }
  std::set<std::string> held;
  book.each_file([&](std::string_view sha256, std::string_view bytes) {
    held.emplace(sha256);
    if (sha256_hex(bytes) != sha256)
      problem(fmt::format("A file in the vault ({}) was altered.", sha256));
    if (whole && !files_.contains(std::string(sha256)))
      problem(fmt::format("The vault holds a file ({}) that no entry names.", sha256));
  });
  for (const std::string& file : files_)
    if (!held.contains(file)) {
      if (lost_files.contains(file))
        ++out.files;
      else
        problem(fmt::format("A file that an entry names ({}) is missing from the vault.", file));
    }
  return out;
}

}  // namespace trencher::book
