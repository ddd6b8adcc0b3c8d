// What a question about a substance covers: which ids answer it, which leave it open, whose law
// lists it, and the words by which an ingredient list may name it.
#pragma once

#include <optional>
#include <set>
#include <span>
#include <string>
#include <string_view>
#include <vector>

#include "domain/kinds.h"
#include "engine/evidence.h"

namespace trencher::engine {

struct Topic {
  std::string about;             // as it was asked for: an id
  std::string name;              // in a sentence: "walnut", "tree nuts"
  std::set<std::string> within;  // a tin that holds any of these holds the topic
  std::set<std::string> wider;   // its family: a tin that holds one of these leaves it open which
  std::set<std::string> denied_by;  // 'none of these' covers the topic
  bool animal = false;              // animal material of any kind
  std::optional<Allergen> row;      // absent for animal material
};

// `about`: an id of `allergens`, or 'animal-material'. Error::request where it is neither.
Topic topic_of(const std::string& about, std::span<const Allergen> allergens);

// "walnut" for "Walnut"; "peanut" for "Peanut (groundnut)".
std::string short_name(const std::string& id, std::span<const Allergen> allergens);

// Whether a list of all allergens drawn up for `market` (empty: not said) would have to name it.
// Where the market is not said, only what every market lists is sure to be looked for.
bool on_list(const Allergen& allergen, const std::string& market);

// Whether that list names it in its own right: it is on the list, and its family is not.
bool is_named_by_list(const Allergen& allergen, const std::string& market,
                      std::span<const Allergen> allergens);

// Whether an ingredient as a paper names it speaks of the topic: "Refined walnut oil" of walnut.
bool speaks_of(const std::string& ingredient, const Topic& topic);

// The words of a text in lower case, with the singular beside a plural.
std::set<std::string> words_of(std::string_view text);

// A kind of tree nut, or the family.
bool is_tree_nut(const Allergen& allergen);

// Which markets' lists have the name, `market`'s first, and how the laws part on refined oils.
std::vector<Sentence> law_notes(const Topic& topic, const std::string& market);

}  // namespace trencher::engine
