#include "commands/held.h"

#include <fmt/format.h>

#include <algorithm>
#include <tuple>

#include "book/kinds.h"
#include "commands/describe.h"
#include "domain/code.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

constexpr std::size_t shortest_id = 6;    // fewer signs may be a name
constexpr std::size_t shortest_text = 3;  // fewer signs stand in any text

bool stands_in(const Json& value, const std::vector<std::string>& wanted) {
  if (value.is_text())
    return std::any_of(wanted.begin(), wanted.end(), [&](const std::string& text) {
      return lower_ascii(value.as_text()).find(text) != std::string::npos;
    });
  if (value.is_object())
    for (const auto& [name, member] : value.members())
      if (stands_in(member, wanted)) return true;
  if (value.is_array())
    for (const Json& item : value.items())
      if (stands_in(item, wanted)) return true;
  return false;
}

std::vector<std::string> codes_in(const Json& body) {
  const auto batch = body.maybe_text("batch");
  if (!batch) return {};
  const Json* pieces = body.find("pieces");
  if (!pieces || !pieces->is_array()) return {*batch};  // a batch says how many
  const auto wide = body.integers("pieces");
  return book::piece_codes(*batch, {wide.begin(), wide.end()});
}

}  // namespace

std::vector<book::Person> people_of(Call& call) {
  std::vector<book::Person> out;
  call.book().each_person([&](const book::Person& person) { out.push_back(person); });
  std::sort(out.begin(), out.end(), [](const book::Person& a, const book::Person& b) {
    return std::tuple(lower_ascii(a.name), a.contact, a.id) <
           std::tuple(lower_ascii(b.name), b.contact, b.id);
  });
  return out;
}

Held held_about(Call& call, const book::Person& person) {
  Held out{person, {}, {}};
  for (book::Effective& effective : book::history_of(call.book(), book::person_id(person.id))) {
    HeldEntry held;
    held.words = describe(call, effective.entry.kind, effective.body);
    held.codes = codes_in(effective.body);
    held.entry = std::move(effective);
    out.entries.push_back(std::move(held));
  }
  std::vector<std::string> wanted;
  for (const std::string& text : {person.name, person.contact})
    if (text.size() >= shortest_text) wanted.push_back(lower_ascii(text));
  call.book().each_entry([&](const book::Entry& entry) {
    if (stands_in(Json::parse(entry.body), wanted)) out.in_text.push_back(entry.number);
  });
  return out;
}

std::vector<book::Person> need_people(Call& call, const std::string& typed) {
  const std::string wanted = lower_ascii(checked_text(typed, "The name"));
  std::vector<book::Person> out;
  std::vector<std::string> names;
  for (book::Person& person : people_of(call)) {
    if (names.empty() || names.back() != person.name) names.push_back(person.name);
    if (lower_ascii(person.name) == wanted ||
        (wanted.size() >= shortest_id && person.id.starts_with(wanted)))
      out.push_back(std::move(person));
  }
  if (out.empty())
    throw Error::request(
        fmt::format("Nobody in this book is called '{}'.{} 'trencher people' "
                    "lists them.",
                    typed, suggestion(typed, names)));
  return out;
}

}  // namespace trencher::commands
