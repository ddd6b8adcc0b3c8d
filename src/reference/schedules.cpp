#include <toml++/toml.h>

#include <algorithm>
#include <initializer_list>
#include <string>

#include "domain/error.h"
#include "domain/text.h"
#include "reference/tables.h"

namespace trencher::reference {
namespace {

// A TOML table with every complaint naming file, line, key and what belongs there.
class Reader {
 public:
  Reader(const toml::table& table, std::string_view file,
         std::initializer_list<std::string_view> keys)
      : table_(table), file_(file) {
    for (const auto& [key, node] : table)
      if (std::find(keys.begin(), keys.end(), key.str()) == keys.end())
        refuse(node.source().begin.line, key.str(), "is not a key of a schedule");
  }

  [[noreturn]] void refuse(unsigned line, std::string_view key, const std::string& what) const {
    throw Error::request(file_ + ", line " + std::to_string(line) + ": '" + std::string(key) +
                         "' " + what + ".");
  }

  std::string text(std::string_view key) const {
    const auto value = table_[key].value_exact<std::string>();
    if (!value || value->empty()) refuse(line_of(key), key, "must be text");
    return *value;
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
  const toml::table& table_;
  std::string file_;
};

std::vector<Mechanism> read_slot(const toml::table& table, std::string_view file) {
  const Reader reader(table, file, {"mechanisms"});
  std::vector<Mechanism> fits;
  const unsigned line = reader.line_of("mechanisms");
  for (const auto& name : reader.array<std::string>("mechanisms", "mechanisms")) {
    try {
      fits.push_back(parse_mechanism(name));
    } catch (const Error&) {
      reader.refuse(line, "mechanisms", "holds '" + name + "', which is no mechanism");
    }
  }
  if (fits.empty()) reader.refuse(line, "mechanisms", "must name a mechanism");
  return fits;
}

ScheduleStep read_step(const toml::table& table, std::string_view file, std::size_t slots) {
  const Reader reader(table, file,
                      {"step", "grits", "slot", "count", "minutes", "note", "source", "standing"});
  ScheduleStep out;
  out.step = reader.choice("step", {"sand", "raise-grain", "coat", "scuff", "inspect"});
  for (const auto grit : reader.array<std::int64_t>("grits", "grits"))
    out.grits.push_back(static_cast<int>(grit));
  out.slot = reader.whole("slot", static_cast<int>(slots)).value_or(0);
  if (out.step == "coat" && out.slot == 0)
    reader.refuse(reader.line_of("step"), "slot", "must say which finish a coat is of");
  out.count = reader.whole("count", 20);
  out.minutes = reader.whole("minutes", 240);
  out.note = reader.maybe_text("note");
  out.source = reader.text("source");
  out.standing = reader.choice("standing", {"read", "memory", "common practice", "ours"});
  return out;
}

toml::table parse(std::string_view text, std::string_view file) {
  try {
    return toml::parse(text, file);
  } catch (const toml::parse_error& error) {
    throw Error::request(std::string(file) + ", line " + std::to_string(error.source().begin.line) +
                         ": " + std::string(error.description()) + ".");
  }
}

}  // namespace

Schedule read_schedule(std::string_view text, std::string_view file) {
  const toml::table table = parse(text, file);
  const Reader reader(table, file, {"id", "name", "when_to_use", "slot", "step"});
  Schedule out;
  out.id = reader.text("id");
  out.name = reader.text("name");
  out.when_to_use = reader.text("when_to_use");
  for (const toml::table* slot : reader.tables("slot")) out.slots.push_back(read_slot(*slot, file));
  for (const toml::table* step : reader.tables("step"))
    out.steps.push_back(read_step(*step, file, out.slots.size()));
  return out;
}

}  // namespace trencher::reference
