#include "commands/named.h"

#include <fmt/format.h>

#include "paper/language.h"
#include "reference/names.h"

namespace trencher::commands {
namespace {

using reference::name_of;
using reference::Names;

constexpr std::string_view per_label = "per-label";

}  // namespace

std::string topic_in_words(const std::string& about, std::string_view language) {
  for (const Names table : {Names::topics, Names::allergens})
    if (auto name = name_of(table, about, language)) return *name;
  return about;
}

std::string use_in_words(const std::string& use, std::string_view language) {
  return name_of(Names::uses, use, language).value_or(use);
}

std::string wood_in_words(const std::string& species, const std::string& common_name,
                          const std::string& botanical_name, std::string_view language) {
  // In English the name that the book took down; elsewhere the language's.
  std::string name = reference::inside_sentence(common_name);
  if (language != "en" || name.empty())
    name = name_of(Names::species, species, language).value_or(name.empty() ? species : name);
  return botanical_name.empty() ? name : fmt::format("{} ({})", name, botanical_name);
}

std::string kind_in_words(const std::string& kind, std::string_view language) {
  for (const Names table : {Names::finishes, Names::glues, Names::others})
    if (auto name = name_of(table, kind, language)) return *name;
  return {};
}

std::string tin_in_words(const std::string& name, const std::string& kind,
                         std::string_view language) {
  std::string plain = kind_in_words(kind, language);
  const bool said =
      paper::small_letters(name).find(paper::small_letters(plain)) != std::string::npos;
  if (name.empty()) return plain;
  return said ? name : fmt::format("{} ({})", name, plain);
}

std::string tin_in_full(const Tin& tin, std::string_view language) {
  return paper::Words("notice", language)("tin",
                                          {{"tin", tin_in_words(tin.name, tin.kind, language)},
                                           {"lot", tin.lot},
                                           {"supplier", tin.supplier}});
}

std::string things_in_words(const std::vector<std::string>& ids, std::string_view language) {
  std::vector<std::string> names;
  for (const std::string& id : ids)
    if (id != per_label) names.push_back(topic_in_words(id, language));
  return paper::Language(language).all_of(names);
}

}  // namespace trencher::commands
