#include <string>

#include "domain/error.h"
#include "reference/tables.h"
#include "reference/toml_reader.h"

namespace trencher::reference {
namespace {

std::vector<Mechanism> read_slot(const toml::table& table, std::string_view file) {
  const TomlReader reader(table, file, "a schedule", {"mechanisms"});
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
  const TomlReader reader(
      table, file, "a schedule",
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

}  // namespace

Schedule read_schedule(std::string_view text, std::string_view file) {
  const toml::table table = parse_toml(text, file);
  const TomlReader reader(table, file, "a schedule", {"id", "name", "when_to_use", "slot", "step"});
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
