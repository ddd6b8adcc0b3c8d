// The sentences of an answer. Each has a key, by which a letter says it in another language.
#pragma once

#include <optional>
#include <string>
#include <vector>

#include "engine/evidence.h"

namespace trencher::engine {

// "walnut and almond"; ids that leave it to the label are passed over.
std::string names_of(const std::vector<std::string>& ids, std::span<const Allergen> allergens);
std::string name_of(const Tin& tin);  // "F1 Walnut oil"
// ", lot L7, from Example Supply", as far as it is known.
std::string origin_of(const std::string& supplier, const std::string& lot);
std::string capital(std::string text);
// "the statement of 3 Nov 2026 about allergens of F1 Walnut oil"
std::string title_of(const Statement& statement, const Tin& tin);
std::string whom_to_ask(const Tin& tin);

Sentence sentence(std::string key, std::string text, std::map<std::string, std::string> values = {},
                  std::vector<std::string> ids = {});
Because because(std::int64_t entry, Sentence said);

// With what names the tin in a letter: tin (id), name, kind, supplier, lot.
Sentence about_tin(std::string key, std::string text, const Tin& tin,
                   std::vector<std::string> ids = {});
// With what names the paper too: about, dated.
Sentence about_paper(std::string key, std::string text, const Statement& statement, const Tin& tin,
                     std::vector<std::string> ids = {});

// How a tin came onto the piece: its steps, the mixes by way of which, and its receipt.
void add_way(const PieceContents& piece, const Tin& tin, std::vector<Because>& out);
// The batch that the piece is of.
Because of_batch(const PieceContents& piece);
Sentence none_recorded_note();
Sentence glue_up_missing();
Sentence part_missing(const Step& part);
std::vector<std::string> wood_names(const PieceContents& piece);

}  // namespace trencher::engine
