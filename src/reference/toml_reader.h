// Reading TOML so that every complaint names file, line, key and what belongs there. For reference/
// alone.
#pragma once

// toml++ 3.3.0 asserts (or, by clang without assertions, assumes) of a text what it looks at only
// afterwards: "[[," would end the program.
#pragma push_macro("NDEBUG")
#undef NDEBUG
#define TOML_ASSERT(expr) static_cast<void>(0)
#include <toml++/toml.h>
#pragma pop_macro("NDEBUG")

#include <algorithm>
#include <initializer_list>
#include <optional>
#include <string>
#include <string_view>
#include <type_traits>
#include <vector>

#include "domain/error.h"
#include "domain/text.h"

namespace trencher::reference {

// A TOML table with every complaint naming file, line, key and what belongs there.
class TomlReader {
 public:
  // `of`: what the table describes, as "a schedule".
  TomlReader(const toml::table& table, std::string_view file, const std::string& of,
             std::initializer_list<std::string_view> keys)
      : table_(table), file_(file) {
    for (const auto& [key, node] : table)
      if (std::find(keys.begin(), keys.end(), key.str()) == keys.end())
        refuse(node.source().begin.line, key.str(), "is not a key of " + of);
  }

  [[noreturn]] void refuse(unsigned line, std::string_view key, const std::string& what) const {
    throw Error::request(file_ + ", line " + std::to_string(line) + ": '" + std::string(key) +
                         "' " + what + ".");
  }

  std::string text(std::string_view key) const {
    const auto value = table_[key].value_exact<std::string>();
    if (!value || value->empty()) refuse(line_of(key), key, "must be text");
    return checked(*value, line_of(key), key);
  }

  std::string choice(std::string_view key, const std::vector<std::string>& allowed) const {
    const std::string value = text(key);
    if (std::find(allowed.begin(), allowed.end(), value) == allowed.end())
      refuse(line_of(key), key, "must be " + join_words(allowed, "or"));
    return value;
  }

  std::string maybe_text(std::string_view key) const {
    return table_.contains(key) ? text(key) : std::string();
  }

  std::optional<bool> maybe_flag(std::string_view key) const {
    if (!table_.contains(key)) return std::nullopt;
    const auto value = table_[key].value_exact<bool>();
    if (!value) refuse(line_of(key), key, "must be true or false");
    return *value;
  }

  std::optional<int> whole(std::string_view key, int most) const {
    if (!table_.contains(key)) return std::nullopt;
    const auto value = table_[key].value_exact<std::int64_t>();
    if (!value || *value < 1 || *value > most)
      refuse(line_of(key), key, "must be a whole number from 1 to " + std::to_string(most));
    return static_cast<int>(*value);
  }

  // The values of the array; none where the key is absent.
  template <typename Value>
  std::vector<Value> array(std::string_view key, const std::string& of) const {
    std::vector<Value> values;
    if (!table_.contains(key)) return values;
    const toml::array* items = table_[key].as_array();
    if (!items) refuse(line_of(key), key, "must be an array of " + of);
    for (const toml::node& item : *items) {
      const auto value = item.value_exact<Value>();
      if (!value) refuse(item.source().begin.line, key, "must be an array of " + of);
      if constexpr (std::is_same_v<Value, std::string>)
        values.push_back(checked(*value, item.source().begin.line, key));
      else
        values.push_back(*value);
    }
    return values;
  }

  // The tables under [[key]]; at least one.
  std::vector<const toml::table*> tables(std::string_view key) const {
    const toml::array* items = table_[key].as_array();
    if (!items || items->empty() || !items->is_array_of_tables())
      refuse(line_of(key), key, "must be one table or more");
    std::vector<const toml::table*> out;
    for (const toml::node& item : *items) out.push_back(item.as_table());
    return out;
  }

  unsigned line_of(std::string_view key) const {
    const toml::node* node = table_.get(key);
    return std::max(1U, node ? node->source().begin.line : table_.source().begin.line);
  }

 private:
  // Some of it is printed, and none of it passes through a command line.
  std::string checked(const std::string& value, unsigned line, std::string_view key) const {
    return checked_text(value,
                        file_ + ", line " + std::to_string(line) + ": '" + std::string(key) + "'");
  }

  const toml::table& table_;
  std::string file_;
};

inline toml::table parse_toml(std::string_view text, std::string_view file) {
  try {
    return toml::parse(text, file);
  } catch (const toml::parse_error& error) {
    throw Error::request(std::string(file) + ", line " + std::to_string(error.source().begin.line) +
                         ": " + std::string(error.description()) + ".");
  }
}

}  // namespace trencher::reference
