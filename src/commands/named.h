// What the things of a book are called in the languages of the letters and notices: by the shipped
// names where they have one, else by their own.
#pragma once

#include <string>
#include <string_view>
#include <vector>

#include "domain/records.h"

namespace trencher::commands {

// "walnut", "animal material"; an ingredient as it was asked for.
std::string topic_in_words(const std::string& about, std::string_view language);
// "cutting board"
std::string use_in_words(const std::string& use, std::string_view language);
// "hard maple (Acer saccharum)"
std::string wood_in_words(const std::string& species, const std::string& common_name,
                          const std::string& botanical_name, std::string_view language);
// A kind of glue, finish or other part; empty where it is none that is shipped.
std::string kind_in_words(const std::string& kind, std::string_view language);
// "Kitchen oil (walnut oil)", without the kind where the name says it already.
std::string tin_in_words(const std::string& name, const std::string& kind,
                         std::string_view language);
// With lot and supplier, as a notice names what is withdrawn.
std::string tin_in_full(const Tin& tin, std::string_view language);
// Allergens and substances, one after the other; 'per-label' names none.
std::string things_in_words(const std::vector<std::string>& ids, std::string_view language);

}  // namespace trencher::commands
