#include <fmt/format.h>

#include "book/kinds.h"
#include "book/queries.h"
#include "commands/command.h"
#include "commands/people.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

std::string name_of(const book::Book& book, const Worker& worker) {
  return person_name(book, worker.person);
}

int list_workers(Call& call) {
  call.parse();
  Json out = Json::array();
  std::vector<std::vector<std::string>> rows;
  for (const Worker& worker : book::workers(call.book())) {
    const std::string name = name_of(call.book(), worker);
    Json row = Json::object();
    row.set("worker", worker.id).set("name", name).set("may_sign_off", worker.may_sign_off);
    out.push(std::move(row));
    rows.push_back({std::to_string(worker.id), name, worker.may_sign_off ? "may" : "may not"});
  }
  if (!call.json()) call.table({"Worker", "Name", "Sign off"}, rows);
  return call.done(out);
}

// --by takes a number or a name, so that a name must be no number and stand alone.
void check_name(const book::Book& book, const std::string& name) {
  if (name.find_first_not_of("0123456789") == std::string::npos)
    throw Error::request(fmt::format(
        "The name '{}' is a number, which --by would take for another worker's.", name));
  for (const Worker& worker : book::workers(book))
    if (name_of(book, worker) == name)
      throw Error::request(
          fmt::format("Worker {} is called '{}' already; names must differ.", worker.id, name));
}

}  // namespace

int worker(Call& call) {
  if (call.choose_if({"add"}).empty()) return list_workers(call);
  std::string name;
  bool may_sign_off = false;
  call.word("NAME", name, "of somebody who writes in the book");
  call.flag("--may-sign-off", may_sign_off, "may decide that pieces leave");
  call.parse();
  call.need(name, "NAME", "Name");
  name = checked_text(name, "NAME", longest_name);
  const book::Stamp stamp = call.stamp();
  book::Writing writing(call.book());
  check_name(call.book(), name);
  const book::Person person = book::new_person(name, "");
  Worker worker;
  worker.id = book::next_number(call.book(), book::counted(book::worker_id(1)).prefix);
  worker.person = person.id;
  worker.seal = book::seal(person);
  worker.may_sign_off = may_sign_off;
  Json body = worker.body();
  call.annotate(body);
  writing.keep(person);
  const std::int64_t entry = writing.append("worker", body, stamp);
  writing.commit();
  return call.wrote(entry, std::to_string(worker.id), {},
                    fmt::format("Worker {}: {}{}; entry {}. From now on --by says who writes.",
                                worker.id, name, may_sign_off ? ", who may sign off" : "", entry));
}

}  // namespace trencher::commands
