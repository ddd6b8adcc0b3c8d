#include <fmt/format.h>

#include "book/queries.h"
#include "commands/amend.h"
#include "commands/command.h"
#include "commands/held.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::size_t shown_id = 8;

Json json_of(const Held& held) {
  Json entries = Json::array();
  for (const HeldEntry& entry : held.entries)
    entries.push(Json::object()
                     .set("entry", entry.entry.entry.number)
                     .set("at", iso(entry.entry.happened))
                     .set("kind", entry.entry.entry.kind)
                     .set("struck", entry.entry.struck_by.has_value())
                     .set("codes", Json::list(entry.codes))
                     .set("text", entry.words));
  Json out = Json::object();
  out.set("id", held.person.id).set("name", held.person.name);
  out.set("contact", held.person.contact).set("entries", std::move(entries));
  return out.set("in_text", Json::list(held.in_text));
}

void print(Call& call, const Held& held) {
  call.say(fmt::format("{}, contact: {}.", held.person.name,
                       held.person.contact.empty() ? "none recorded" : held.person.contact));
  for (const HeldEntry& entry : held.entries)
    call.say_list(
        "  -",
        fmt::format("{}: {}{}{} [entry {}]", show(entry.entry.happened), entry.words,
                    entry.codes.empty() ? "" : "; " + join(entry.codes, " "),
                    entry.entry.struck_by ? " (struck since)" : "", entry.entry.entry.number));
  if (!held.in_text.empty())
    call.say(fmt::format("The name or the contact stands also in the free text of entry {}.",
                         join_numbers(held.in_text)));
}

int list(Call& call) {
  Json out = Json::array();
  std::vector<std::vector<std::string>> rows;
  for (const book::Person& person : people_of(call)) {
    out.push(Json::object()
                 .set("id", person.id)
                 .set("name", person.name)
                 .set("contact", person.contact));
    rows.push_back({person.id.substr(0, shown_id), person.name, person.contact});
  }
  if (!call.json()) {
    if (rows.empty())
      call.say("The book holds no person. 'trencher give' and 'trencher batch' enter them.");
    else
      call.table({"Id", "Name", "Contact"}, rows);
  }
  return call.done(out);
}

int tell(Call& call, const std::string& typed) {
  Json out = Json::array();
  for (const book::Person& person : need_people(call, typed)) {
    const Held held = held_about(call, person);
    if (call.json())
      out.push(json_of(held));
    else
      print(call, held);
  }
  if (!call.json())
    call.say(
        "That is all that this book holds about them. 'trencher forget' takes name and "
        "contact out of it.");
  return call.done(out);
}

int list_or_tell(Call& call) {
  std::string typed;
  call.word("PERSON", typed,
            "name of a person, or the first signs of the id: all that the book holds about them; "
            "left out: everybody");
  call.parse();
  return typed.empty() ? list(call) : tell(call, typed);
}

int export_person(Call& call) {
  std::string typed;
  call.word("PERSON", typed, "name of a person, or the first signs of the id");
  call.parse();
  call.need(typed, "PERSON", "Whose data");
  return tell(call, typed);
}

}  // namespace

int people(Call& call) {
  return call.choose_if({"export"}).empty() ? list_or_tell(call) : export_person(call);
}

}  // namespace trencher::commands
