// What Trencher ships: woods, finishes, glues, other parts, allergens, ways of finishing, and the
// sources of their figures, compiled in from schema/reference/*.csv, schema/schedules/*.toml and
// schema/rules/*.toml. The types, with their units, are in domain/kinds.h.
//
// Each table is read when it is first asked for, for every entry starts a process. A look-up
// returns null where the table has no such id; what it points at lasts as long as the thread.
// Fields named *_source hold the titles of their sources, those named source_keys the keys; a
// standing says how the figure was come by: read, memory, common practice, ours.
//
// Waits of finishes, glues and others are the longest end of the usual range, at the reference
// conditions, for a label that is silent; on_cutting_surface, wet_use and on_food_face are
// judgements of ours. A schedule's minutes are the maker's attention to one piece in one coat or
// round. A scuff step that names a slot is done between the coats of that slot, before each but the
// first; without one it is done once, where it stands.
//
// A shipped table with a fault throws Error (request) that names file, line and cell.
#pragma once

#include <span>
#include <string_view>
#include <vector>

#include "domain/kinds.h"

namespace trencher::reference {

std::span<const Species> species();
const Species* find_species(std::string_view id);

std::span<const FinishKind> finishes();
const FinishKind* find_finish(std::string_view id);

std::span<const GlueKind> glues();
const GlueKind* find_glue(std::string_view id);

std::span<const OtherKind> others();
const OtherKind* find_other(std::string_view id);

std::span<const Allergen> allergens();
const Allergen* find_allergen(std::string_view id);

std::span<const Schedule> schedules();  // by id
const Schedule* find_schedule(std::string_view id);

// What is never said, in the four languages.
std::span<const NeverSaid> never_said();

// Of every market, in the order of their files; what each asks is in our own words.
std::span<const Rule> rules();
// Those that bind in a market for which the named check stands.
std::vector<Rule> rules_of(std::string_view market, std::string_view check);

std::span<const Source> sources();
const Source* find_source(std::string_view key);
// The titles of keys with semicolons between, as Allergen has them: its table is read whole by
// every answer, which tells none of them.
std::string source_titles(const std::string& keys);

}  // namespace trencher::reference
