// How the fields of an entry are named and read when it is corrected. For commands/corrections*.cpp
// alone.
#pragma once

#include <fmt/format.h>

#include <algorithm>
#include <functional>
#include <optional>
#include <string>
#include <vector>

#include "book/queries.h"
#include "commands/call.h"
#include "commands/choices.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {

template <typename Value>
Json body_of(const Value& value) {
  return value.body();
}
inline Json body_of(const Species& species) { return to_json(species); }

// How a typed value is laid over what an entry says; an empty value takes an optional one out.
template <typename Value>
struct Field {
  std::string name;
  std::function<void(Value&, const std::string&)> lay;
};

template <typename Value>
Json mended(Value value, const Json& old, const std::string& kind,
            const std::vector<Field<Value>>& fields, const std::vector<std::string>& set) {
  std::vector<std::string> names;
  for (const Field<Value>& field : fields) names.push_back(field.name);
  for (const std::string& item : set) {
    const auto equals = item.find('=');
    if (equals == std::string::npos)
      throw Error::request(fmt::format("--set '{}' has no equals sign; write FIELD=VALUE.", item));
    const std::string name = item.substr(0, equals);
    if (std::find(names.begin(), names.end(), name) == names.end() &&
        suggestion(name, names).empty())
      throw Error::request(fmt::format("Field of a {} '{}' is not known. It is one of: {}.", kind,
                                       brief(name), join(names, ", ")));
    Call::check_known(name, "Field of a " + kind, names);
    for (const Field<Value>& field : fields)
      if (field.name == name) field.lay(value, item.substr(equals + 1));
  }
  Json out = body_of(value);
  for (const char* kept : {"note", "because"})
    if (const auto text = old.maybe_text(kept)) out.set(kept, *text);
  return out;
}

template <typename Value>
Field<Value> text(const std::string& name, std::string Value::*member,
                  std::size_t most = longest_text) {
  return {name, [=](Value& value, const std::string& typed) {
            value.*member = checked_text(typed, name, most);
          }};
}

template <typename Value>
Field<Value> choice(const std::string& name, std::string Value::*member,
                    const std::vector<std::string>& choices) {
  return {name, [=](Value& value, const std::string& typed) {
            Call::check_known(typed, name, choices);
            value.*member = typed;
          }};
}

// An optional quantity read by `parse`.
template <typename Value, typename Quantity, typename Parse>
Field<Value> quantity(const std::string& name, std::optional<Quantity> Value::*member,
                      Parse parse) {
  return {name, [=](Value& value, const std::string& typed) {
            if (typed.empty())
              (value.*member).reset();
            else
              value.*member = parse(typed, name);
          }};
}

template <typename Value>
Field<Value> ids(Call& call, const std::string& name, std::vector<std::string> Value::*member,
                 const std::string& class_name) {
  return {name, [&call, name, member, class_name](Value& value, const std::string& typed) {
            value.*member = typed.empty() ? std::vector<std::string>{} : split(typed, ',');
            known_values(value.*member, name, book::ids_of_class(call.book(), class_name));
          }};
}

template <typename Value>
Field<Value> allergen_ids(const std::string& name, std::vector<std::string> Value::*member) {
  return {name, [member](Value& value, const std::string& typed) {
            value.*member =
                typed.empty() ? std::vector<std::string>{} : known_allergens(split(typed, ','));
          }};
}

inline bool yes(const std::string& typed, const std::string& name) {
  Call::check_known(typed, name, {"yes", "no"});
  return typed == "yes";
}

template <typename Value>
Field<Value> flag(const std::string& name, bool Value::*member) {
  return {name, [=](Value& value, const std::string& typed) { value.*member = yes(typed, name); }};
}

// Of what is received: wood, tins, mixes, products, species, and papers. Nothing for other kinds.
std::optional<Json> corrected_stock(Call& call, const book::Effective& target,
                                    const std::vector<std::string>& set);

}  // namespace trencher::commands
