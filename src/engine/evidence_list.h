// The parts of an answer that do not depend on one substance: what is on a piece as a list, an
// ingredient asked for by its name, and what leaves every answer open.
#pragma once

#include <string>
#include <vector>

#include "engine/evidence.h"

namespace trencher::engine {

// finish, glue, other, wood, contents
bool is_list_topic(const std::string& about);
Answer listed(const PieceContents& piece, const std::string& about,
              std::span<const Allergen> allergens);

// No glue-up or no coat is logged although there should be one.
void add_unlogged(const PieceContents& piece, Answer& out);
// What was fitted without a tin: nothing says what it holds.
void add_fitted(const PieceContents& piece, Answer& out);
// What a board that came back leaves open.
void add_returns(const PieceContents& piece, Answer& out);
// That timber stands on a line of its own; `nut`: a tree nut was asked for.
void add_timber_note(const PieceContents& piece, bool nut, Answer& out);
void add_withdrawn_notes(const PieceContents& piece, Answer& out);
void add_doctor_note(Answer& out);

}  // namespace trencher::engine
