#include <fmt/format.h>

#include <algorithm>

#include "book/queries.h"
#include "book/transfer.h"
#include "commands/amend.h"
#include "commands/command.h"
#include "commands/held.h"
#include "commands/recall_progress.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

// Open recalls that are to reach the person: who has or had a board that one touches.
std::vector<std::int64_t> recalls_needing(Call& call, const std::string& person) {
  std::vector<std::int64_t> out;
  for (const RecallCase& of : open_recalls(call))
    if (std::any_of(of.people.begin(), of.people.end(),
                    [&](const RecalledPerson& told) { return told.id == person; }))
      out.push_back(of.scope.words.front().entry);
  return out;
}

// The one person that is meant; of several of a name, those with the contact, or all where asked.
std::vector<book::Person> chosen(Call& call, const std::string& typed, const std::string& contact,
                                 bool all) {
  std::vector<book::Person> found = need_people(call, typed);
  if (!contact.empty()) {
    std::erase_if(found, [&](const book::Person& person) {
      return lower_ascii(person.contact) != lower_ascii(contact);
    });
    if (found.empty())
      throw Error::request(fmt::format("Nobody called '{}' has the contact '{}'.", typed, contact));
  }
  if (found.size() < 2 || all) return found;
  std::vector<std::string> contacts;
  for (const book::Person& person : found)
    contacts.push_back(fmt::format("{} ({})", person.id.substr(0, 8),
                                   person.contact.empty() ? "no contact" : person.contact));
  throw Error::request(fmt::format(
      "{} in this book are called '{}': {}. Say which by --contact or the signs before it, or "
      "--all of them.",
      found.size(), typed, join_words(contacts)));
}

void check_may_go(Call& call, const book::Person& person, bool even_if_recalled) {
  const std::vector<Worker> workers = book::workers(call.book());
  if (workers.size() == 1 && workers.front().person == person.id)
    throw Error::request(
        fmt::format("{} is the only worker of this book; add another before this one is forgotten.",
                    person.name));
  const std::vector<std::int64_t> needing = recalls_needing(call, person.id);
  if (!needing.empty() && !even_if_recalled)
    throw Error::request(
        fmt::format("{} has or had a board that the open recall of entry {} touches, and is to be "
                    "told first. With "
                    "--even-if-recalled they are forgotten all the same.",
                    person.name, join_numbers(needing)));
}

// Why the file could not be written anew; empty where it was. The forgetting itself stands by then.
std::string failure_of_vacuum(book::Book& book) {
  try {
    book::vacuum(book);
    return {};
  } catch (const Error& failure) {
    return failure.what();
  }
}

}  // namespace

int forget(Call& call) {
  std::string typed, contact;
  bool all = false, even_if_recalled = false, vacuum = false;
  call.word("PERSON", typed, "name of a person, or the first signs of the id in 'trencher people'");
  call.option("--contact", "TEXT", contact, "of several of that name, the one with this contact");
  call.flag("--all", all, "everybody of that name");
  call.flag("--even-if-recalled", even_if_recalled,
            "although an open recall still needs the contact");
  call.flag("--vacuum", vacuum, "write the whole book anew, so that no freed page is left");
  call.parse();
  call.need(typed, "PERSON", "Who is to be forgotten");
  const book::Stamp stamp = call.stamp();
  std::vector<std::int64_t> in_text;
  std::int64_t first = 0;
  std::string name;
  {
    book::Writing writing(call.book());
    for (const book::Person& person : chosen(call, typed, contact, all)) {
      check_may_go(call, person, even_if_recalled);
      for (const std::int64_t entry : held_about(call, person).in_text)
        if (std::find(in_text.begin(), in_text.end(), entry) == in_text.end())
          in_text.push_back(entry);
      name = person.name;
      writing.forget(person.id);
      Forgotten gone;
      gone.person = person.id;
      Json body = gone.body();
      call.annotate(body);
      const std::int64_t entry = writing.append("forget", body, stamp);
      if (!first) first = entry;
    }
    writing.commit();
  }
  std::string not_anew;
  if (vacuum) not_anew = failure_of_vacuum(call.book());
  std::sort(in_text.begin(), in_text.end());
  Json more = Json::object().set("in_text", Json::list(in_text));
  if (vacuum) more.set("written_anew", Json(not_anew.empty()));
  int status = call.wrote(
      first, name, {},
      fmt::format("{} is forgotten: name and contact are out of this book; entry {}. What was made "
                  "and where it went stays, without the name.",
                  name, first),
      more);
  if (!not_anew.empty()) status = 1;
  if (call.json()) return status;
  call.say(
      "Not covered: older backups, exports, recall folders and printed papers, and what the disk "
      "itself keeps of files that were deleted. Destroy what you need no more.");
  if (!in_text.empty())
    call.say(fmt::format(
        "Free text cannot be forgotten: the name or the contact stands in that of entry {}.",
        join_numbers(in_text)));
  if (!not_anew.empty())
    call.say_list("Not done:",
                  fmt::format("the file was not written anew. {} What was taken out of it is "
                              "overwritten in it all the same.",
                              not_anew));
  return status;
}

}  // namespace trencher::commands
