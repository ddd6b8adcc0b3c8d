#include "reference/reference.h"

#include <algorithm>
#include <map>
#include <optional>
#include <string>
#include <vector>

#include "domain/embedded.h"
#include "domain/text.h"
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

// The row of one id, read alone and kept, by each thread for itself: most commands need a few of a
// table.
template <typename Item>
class Found {
 public:
  Found(std::vector<Item> (*read)(std::string_view, std::string_view), std::string file)
      : read_(read), file_(std::move(file)) {}

  const Item* find(std::string_view id) {
    const auto [place, fresh] = rows_.try_emplace(std::string(id));
    if (fresh) {
      const auto table = embedded_text(embedded_reference(), "schema/reference/" + file_);
      if (const std::string row = row_alone(table, id); !row.empty())
        place->second = std::move(read_(row, file_).front());
    }
    return place->second ? &*place->second : nullptr;
  }

 private:
  std::vector<Item> (*read_)(std::string_view, std::string_view);
  std::string file_;
  std::map<std::string, std::optional<Item>> rows_;
};

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

const Species* find_species(std::string_view id) {
  thread_local Found<Species> found(read_species, "species.csv");
  return found.find(id);
}

const FinishKind* find_finish(std::string_view id) {
  thread_local Found<FinishKind> found(read_finishes, "finishes.csv");
  return found.find(id);
}

const GlueKind* find_glue(std::string_view id) {
  thread_local Found<GlueKind> found(read_glues, "glues.csv");
  return found.find(id);
}

const OtherKind* find_other(std::string_view id) {
  thread_local Found<OtherKind> found(read_others, "others.csv");
  return found.find(id);
}

const Allergen* find_allergen(std::string_view id) { return find(allergens(), &Allergen::id, id); }

const Source* find_source(std::string_view key) {
  thread_local Found<Source> found(read_sources, "sources.csv");
  return found.find(key);
}

std::string source_titles(const std::string& keys) {
  std::vector<std::string> titles;
  for (const std::string& key : split(keys, ';')) {
    const Source* source = find_source(key);
    titles.push_back(source ? source->what : key);
  }
  return join(titles, "; ");
}

const Schedule* find_schedule(std::string_view id) { return find(schedules(), &Schedule::id, id); }

}  // namespace trencher::reference
