// The readers behind reference.h: text of a table in, checked rows out. `file` names it in errors.
// Every reader throws Error (request) naming file, line and column where a cell is not what the
// column holds, and where an id stands twice.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "domain/kinds.h"

namespace trencher::reference {

std::vector<Species> read_species(std::string_view text, std::string_view file);
std::vector<FinishKind> read_finishes(std::string_view text, std::string_view file);
std::vector<GlueKind> read_glues(std::string_view text, std::string_view file);
std::vector<OtherKind> read_others(std::string_view text, std::string_view file);
std::vector<Allergen> read_allergens(std::string_view text, std::string_view file);
std::vector<NeverSaid> read_never_said(std::string_view text, std::string_view file);
std::vector<Source> read_sources(std::string_view text, std::string_view file);
std::vector<Rule> read_rules(std::string_view toml, std::string_view file);
Schedule read_schedule(std::string_view toml, std::string_view file);

// A shipped table's header and its row of that id, which stands in the first column; empty where it
// has none. REQUIRES: no line of a quoted cell begins as a row does.
std::string row_alone(std::string_view table, std::string_view id);

}  // namespace trencher::reference
