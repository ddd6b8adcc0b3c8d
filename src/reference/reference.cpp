#include "reference/reference.h"

#include <algorithm>
#include <string>
#include <vector>

#include "domain/embedded.h"
#include "reference/tables.h"

namespace trencher::reference {
namespace {

template <typename Item>
std::vector<Item> shipped(std::vector<Item> (*read)(std::string_view, std::string_view),
                          const std::string& file) {
  return read(embedded_text(embedded_reference(), "schema/reference/" + file), file);
}

template <typename Item>
const Item* find(std::span<const Item> items, std::string Item::*key, std::string_view wanted) {
  const auto at = std::ranges::find(items, wanted, key);
  return at == items.end() ? nullptr : &*at;
}

std::vector<Schedule> shipped_schedules() {
  constexpr std::string_view folder = "schema/schedules/";
  std::vector<Schedule> all;
  for (const EmbeddedFile& file : embedded_reference())
    if (file.path.starts_with(folder))
      all.push_back(read_schedule(file.text, file.path.substr(folder.size())));
  std::ranges::sort(all, {}, &Schedule::id);
  return all;
}

std::vector<Rule> shipped_rules() {
  constexpr std::string_view folder = "schema/rules/";
  std::vector<Rule> all;
  for (const EmbeddedFile& file : embedded_reference())
    if (file.path.starts_with(folder))
      for (Rule& rule : read_rules(file.text, file.path.substr(folder.size())))
        all.push_back(std::move(rule));
  return all;
}

}  // namespace

std::span<const Species> species() {
  static const auto rows = shipped(read_species, "species.csv");
  return rows;
}

std::span<const FinishKind> finishes() {
  static const auto rows = shipped(read_finishes, "finishes.csv");
  return rows;
}

std::span<const GlueKind> glues() {
  static const auto rows = shipped(read_glues, "glues.csv");
  return rows;
}

std::span<const OtherKind> others() {
  static const auto rows = shipped(read_others, "others.csv");
  return rows;
}

std::span<const Allergen> allergens() {
  static const auto rows = shipped(read_allergens, "allergens.csv");
  return rows;
}

std::span<const NeverSaid> never_said() {
  static const auto rows = shipped(read_never_said, "never-said.csv");
  return rows;
}

std::span<const Source> sources() {
  static const auto rows = shipped(read_sources, "sources.csv");
  return rows;
}

std::span<const Schedule> schedules() {
  static const auto all = shipped_schedules();
  return all;
}

std::span<const Rule> rules() {
  static const auto all = shipped_rules();
  return all;
}

std::vector<Rule> rules_of(std::string_view market, std::string_view check) {
  std::vector<Rule> out;
  for (const Rule& rule : rules())
    if (rule.binds_in(market) && rule.check == check) out.push_back(rule);
  return out;
}

const Species* find_species(std::string_view id) { return find(species(), &Species::id, id); }
const FinishKind* find_finish(std::string_view id) { return find(finishes(), &FinishKind::id, id); }
const GlueKind* find_glue(std::string_view id) { return find(glues(), &GlueKind::id, id); }
const OtherKind* find_other(std::string_view id) { return find(others(), &OtherKind::id, id); }
const Allergen* find_allergen(std::string_view id) { return find(allergens(), &Allergen::id, id); }
const Source* find_source(std::string_view key) { return find(sources(), &Source::key, key); }
const Schedule* find_schedule(std::string_view id) { return find(schedules(), &Schedule::id, id); }

}  // namespace trencher::reference
