// What the things of the shipped tables are called in the languages of the papers, as the name
// stands inside a sentence: English out of the tables themselves, without their remarks in
// brackets; the others out of schema/reference/names.csv.
#pragma once

#include <optional>
#include <string>
#include <string_view>
#include <vector>

namespace trencher::reference {

// allergens, finishes, glues, others, species; and of our own: uses, lists (whose list of food
// allergens), topics (of an answer).
enum class Names { allergens, finishes, glues, others, species, uses, lists, topics };

// Absent where the table has no such id or nobody wrote it in that language.
std::optional<std::string> name_of(Names table, std::string_view id, std::string_view language);

// A name as a table gives it, without its remark in brackets and small where no proper name begins
// it: "white mineral oil", "Brazil nut", "PVA wood glue".
std::string inside_sentence(std::string_view name);

// The rows of names.csv, for the tests.
struct NameRow {
  std::string table, id, en, de, fr, es;
};
const std::vector<NameRow>& name_rows();

}  // namespace trencher::reference
