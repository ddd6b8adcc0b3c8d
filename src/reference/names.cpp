#include "reference/names.h"

#include <algorithm>
#include <array>

#include "domain/embedded.h"
#include "domain/text.h"
#include "exchange/csv.h"
#include "reference/reference.h"
#include "reference/row.h"

namespace trencher::reference {
namespace {

constexpr std::array table_names{"allergens", "finishes", "glues", "others",
                                 "species",   "uses",     "lists", "topics"};

// Of the shipped names, the first words that keep their capital.
constexpr std::array<std::string_view, 12> proper{"African",     "American", "Brazil",  "Brazilian",
                                                  "Douglas-fir", "East",     "English", "European",
                                                  "Gaboon",      "London",   "PVA",     "Sitka"};

template <typename Kind>
std::optional<std::string> said(const Kind* kind) {
  if (!kind) return {};
  return inside_sentence(kind->name);
}

std::optional<std::string> english(Names table, std::string_view id) {
  switch (table) {
    case Names::allergens:
      return said(find_allergen(id));
    case Names::finishes:
      return said(find_finish(id));
    case Names::glues:
      return said(find_glue(id));
    case Names::others:
      return said(find_other(id));
    case Names::species: {
      const Species* species = find_species(id);
      if (!species) return {};
      return inside_sentence(species->common_name);
    }
    default:
      return {};
  }
}

const NameRow* find_row(Names table, std::string_view id) {
  const std::string_view name = table_names[static_cast<std::size_t>(table)];
  const std::vector<NameRow>& rows = name_rows();
  const auto at = std::find_if(rows.begin(), rows.end(), [&](const NameRow& row) {
    return row.table == name && row.id == id;
  });
  return at == rows.end() ? nullptr : &*at;
}

}  // namespace

const std::vector<NameRow>& name_rows() {
  static const std::vector<NameRow> rows = [] {
    constexpr std::string_view file = "schema/reference/names.csv";
    const auto table = exchange::CsvTable::parse(embedded_text(embedded_reference(), file), file);
    std::vector<NameRow> out;
    for (std::size_t i = 0; i < table.size(); ++i) {
      const Row row(table, i);
      out.push_back({row.required_text("table"), row.required_text("id"), row.text("en"),
                     row.required_text("de"), row.required_text("fr"), row.required_text("es")});
    }
    return out;
  }();
  return rows;
}

std::optional<std::string> name_of(Names table, std::string_view id, std::string_view language) {
  if (language == "en")
    if (auto name = english(table, id)) return name;
  const NameRow* row = find_row(table, id);
  if (!row) return {};
  const std::string& name = language == "en"   ? row->en
                            : language == "de" ? row->de
                            : language == "fr" ? row->fr
                            : language == "es" ? row->es
                                               : row->en;
  if (name.empty()) return {};
  return name;
}

std::string inside_sentence(std::string_view name) {
  std::string out(name.substr(0, name.find(" (")));
  const std::string_view first = std::string_view(out).substr(0, out.find_first_of(" ,"));
  if (std::find(proper.begin(), proper.end(), first) == proper.end() && !out.empty())
    out[0] = lower_ascii(out.substr(0, 1))[0];
  return out;
}

}  // namespace trencher::reference
