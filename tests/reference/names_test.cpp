#include "reference/names.h"

#include <catch2/catch.hpp>
#include <map>
#include <set>

#include "reference/reference.h"

using namespace trencher;
using namespace trencher::reference;

namespace {

template <typename Items>
std::set<std::string> ids_of(const Items& items) {
  std::set<std::string> out;
  for (const auto& item : items) out.insert(item.id);
  return out;
}

}  // namespace

TEST_CASE("every id of the shipped tables has its names, and no other has") {
  const std::map<std::string, std::set<std::string>> expected{
      {"allergens", ids_of(allergens())},
      {"finishes", ids_of(finishes())},
      {"glues", ids_of(glues())},
      {"others", ids_of(others())},
      {"species", ids_of(species())},
      {"uses", {"cutting-board", "serving-board", "salad-bowl", "utensil", "toy"}},
      {"lists", {"us", "eu", "uk", "ca", "anz"}},
      {"topics", {"finish", "glue", "other", "wood", "contents", "animal-material"}}};
  std::map<std::string, std::set<std::string>> named;
  for (const NameRow& row : name_rows()) {
    INFO(row.table << " " << row.id);
    CHECK(named[row.table].insert(row.id).second);
  }
  CHECK(named == expected);
}

TEST_CASE("English comes from the tables, and only what no table names has it in the row") {
  const std::set<std::string> ours{"uses", "lists", "topics"};
  for (const NameRow& row : name_rows()) {
    INFO(row.table << " " << row.id);
    CHECK(row.en.empty() != ours.contains(row.table));
  }
}

TEST_CASE("names stand as inside a sentence, without remarks") {
  for (const NameRow& row : name_rows())
    for (const std::string* name : {&row.en, &row.de, &row.fr, &row.es}) {
      INFO(row.table << " " << row.id);
      CHECK(name->find('(') == std::string::npos);
      CHECK((name->empty() || (!name->ends_with('.') && !name->starts_with(' '))));
    }
  CHECK(inside_sentence("Walnut oil (drying grade)") == "walnut oil");
  CHECK(inside_sentence("PVA wood glue, interior") == "PVA wood glue, interior");
  CHECK(inside_sentence("Brazil nut") == "Brazil nut");
  CHECK(inside_sentence("European beech") == "European beech");
  CHECK(inside_sentence("") == "");
}

// Regulation (EU) No 1169/2011 Annex II. German: items 1 to 6 read, the nuts read as quoted, the
// rest from memory; French and Spanish from memory.
TEST_CASE("the fourteen of the European list have their names as the law words them") {
  const struct {
    const char *id, *de, *fr, *es;
  } rows[] = {{"gluten-cereals", "glutenhaltiges Getreide", "céréales contenant du gluten",
               "cereales que contengan gluten"},
              {"crustacea", "Krebstiere", "crustacés", "crustáceos"},
              {"egg", "Eier", "œufs", "huevos"},
              {"fish", "Fische", "poissons", "pescado"},
              {"peanut", "Erdnüsse", "arachides", "cacahuetes"},
              {"soy", "Sojabohnen", "soja", "soja"},
              {"milk", "Milch", "lait", "leche"},
              {"tree-nut", "Schalenfrüchte", "fruits à coque", "frutos de cáscara"},
              {"celery", "Sellerie", "céleri", "apio"},
              {"mustard", "Senf", "moutarde", "mostaza"},
              {"sesame", "Sesamsamen", "graines de sésame", "granos de sésamo"},
              {"sulphites", "Schwefeldioxid und Sulfite", "anhydride sulfureux et sulfites",
               "dióxido de azufre y sulfitos"},
              {"lupin", "Lupinen", "lupin", "altramuces"},
              {"molluscs", "Weichtiere", "mollusques", "moluscos"}};
  for (const auto& row : rows) {
    CHECK(name_of(Names::allergens, row.id, "de") == row.de);
    CHECK(name_of(Names::allergens, row.id, "fr") == row.fr);
    CHECK(name_of(Names::allergens, row.id, "es") == row.es);
  }
}

TEST_CASE("a look-up knows its table, its language and what is absent") {
  CHECK(name_of(Names::finishes, "walnut-oil", "en") == "walnut oil");
  CHECK(name_of(Names::finishes, "walnut-oil", "fr") == "huile de noix");
  CHECK(name_of(Names::uses, "cutting-board", "en") == "cutting board");
  CHECK(name_of(Names::uses, "cutting-board", "es") == "tabla de cortar");
  CHECK(name_of(Names::glues, "epoxy", "de") == "Epoxidharzkleber");
  CHECK(name_of(Names::allergens, "epoxy", "de") == "Epoxidharz und Aminhärter");
  CHECK(!name_of(Names::species, "walnut-oil", "de"));
  CHECK(!name_of(Names::species, "", "en"));
}
