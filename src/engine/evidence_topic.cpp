#include "engine/evidence_topic.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <cctype>
#include <map>

#include "domain/error.h"
#include "domain/text.h"
#include "engine/evidence_words.h"

namespace trencher::engine {
namespace {

struct Market {
  std::string_view id;
  std::string_view owner;  // whose list
  bool Allergen::*listed;
};
constexpr std::array<Market, 5> markets{{
    {"us", "the United States", &Allergen::us},
    {"eu", "the European Union", &Allergen::eu},
    {"uk", "the United Kingdom", &Allergen::uk},
    {"ca", "Canada", &Allergen::ca},
    {"anz", "Australia and New Zealand", &Allergen::anz},
}};

// A state's or member's market speaks of the list of the whole.
std::string_view list_of(std::string_view market) {
  if (market.starts_with("us-")) return "us";
  return market == "de" ? "eu" : market;
}

// Further words by which papers name a thing, beside the last part of its id.
struct OtherWords {
  std::string_view id, words;
};
constexpr std::array other_words{
    OtherWords{"milk", "casein whey lactose dairy"},
    OtherWords{"egg", "albumen albumin"},
    OtherWords{"fish", "isinglass"},
    OtherWords{"crustacea", "crustacean shellfish shrimp prawn crab lobster chitosan"},
    OtherWords{"molluscs", "mollusc mollusk oyster mussel shell"},
    OtherWords{"tree-nut-pine", "pignoli"},
    OtherWords{"peanut", "groundnut arachis"},
    OtherWords{"soy", "soya soybean lecithin"},
    OtherWords{"wheat", "flour starch"},
    OtherWords{"gluten-cereals", "gluten cereal rye barley oat spelt kamut"},
    OtherWords{"sulphites", "sulphite sulfite sulphur sulfur"},
    OtherWords{"bee-product", "bee beeswax propolis honey"},
    OtherWords{"linseed", "flax flaxseed"},
    OtherWords{"hempseed", "hemp"},
    OtherWords{"lanolin", "wool"},
    OtherWords{"colophony", "rosin pine tall"},
    OtherWords{"cobalt-driers", "cobalt drier dryer siccative"},
    OtherWords{"lead-driers", "lead drier dryer siccative"},
    OtherWords{"animal-derived",
               "animal shellac lac tallow gelatin gelatine hide bone stearic stearate glycerin "
               "glycerine glycerol"},
    OtherWords{"alcohol", "ethanol denatured methylated"},
    OtherWords{"bpa", "bisphenol epoxy"},
    OtherWords{"tung-nut", "tung chinawood"},
    OtherWords{"palm-nut", "palm"},
    OtherWords{"tree-nut-beech", "beechnut"},
    OtherWords{"latex", "rubber"},
};

// Words that belong to no one thing.
bool says_nothing(std::string_view word) {
  return word == "derived" || word == "driers" || word == "product" || word == "cereals" ||
         word == "dust";
}

std::string without_brackets(const std::string& name) { return name.substr(0, name.find(" (")); }

bool is_nut_or_seed_oil(const Topic& topic) {
  const std::string& id = topic.row->id;
  return is_tree_nut(*topic.row) || id == "peanut" || id == "sesame" || id == "soy";
}

// "the United States, Canada, and Australia and New Zealand"
std::string owners(const std::vector<std::string>& names) {
  if (names.size() < 3) return join_words(names);
  std::vector<std::string> first(names.begin(), names.end() - 1);
  return fmt::format("{}, and {}", join(first, ", "), names.back());
}

}  // namespace

std::set<std::string> words_of(std::string_view text) {
  std::set<std::string> words;
  std::string word;
  for (const char c : lower_ascii(text) + " ") {
    if (std::isalnum(static_cast<unsigned char>(c))) {
      word += c;
    } else if (!word.empty()) {
      words.insert(word);
      if (word.size() > 3 && word.ends_with('s')) words.insert(word.substr(0, word.size() - 1));
      word.clear();
    }
  }
  return words;
}

std::string short_name(const std::string& id, std::span<const Allergen> allergens) {
  for (const Allergen& allergen : allergens) {
    if (allergen.id != id) continue;
    std::string name = without_brackets(allergen.name);
    // The one name in the table that begins with a country.
    if (!name.empty() && !name.starts_with("Brazil")) name[0] = lower_ascii(name.substr(0, 1))[0];
    return name;
  }
  return id;
}

Topic topic_of(const std::string& about, std::span<const Allergen> allergens) {
  Topic topic;
  topic.about = about;
  if (about == "animal-material" || about == "animal-derived") {
    topic.name = "animal material";
    topic.animal = true;
    topic.within = topic.denied_by = {"animal-derived", "animal-material"};
    for (const Allergen& allergen : allergens)
      if (allergen.animal) topic.within.insert(allergen.id);
    return topic;
  }
  const auto row = std::find_if(allergens.begin(), allergens.end(),
                                [&](const Allergen& a) { return a.id == about; });
  if (row == allergens.end())
    throw Error::request(fmt::format(
        "A question about '{}' cannot be answered: it must be an id of the table of allergens.",
        about));
  topic.row = *row;
  topic.name = short_name(about, allergens);
  topic.within = topic.denied_by = {about};
  for (const Allergen& allergen : allergens)
    if (allergen.parent == about) topic.within.insert(allergen.id);
  if (!row->parent.empty()) {
    topic.wider.insert(row->parent);
    topic.denied_by.insert(row->parent);
  }
  return topic;
}

bool on_list(const Allergen& allergen, const std::string& market) {
  const std::string_view list = list_of(market);
  for (const Market& m : markets)
    if (m.id == list) return allergen.*m.listed;
  return std::all_of(markets.begin(), markets.end(),
                     [&](const Market& m) { return allergen.*m.listed; });
}

bool is_named_by_list(const Allergen& allergen, const std::string& market,
                      std::span<const Allergen> allergens) {
  return on_list(allergen, market) &&
         std::none_of(allergens.begin(), allergens.end(), [&](const Allergen& family) {
           return family.id == allergen.parent && on_list(family, market);
         });
}

bool speaks_of(const std::string& ingredient, const Topic& topic) {
  const std::set<std::string> said = words_of(ingredient);
  const auto named = [&](const std::string& id) {
    const std::string last = id.substr(id.rfind('-') == std::string::npos ? 0 : id.rfind('-') + 1);
    if (!says_nothing(last) && said.contains(last)) return true;
    const auto more = std::ranges::find(other_words, id, &OtherWords::id);
    if (more == other_words.end()) return false;
    const auto words = split(more->words, ' ');
    return std::ranges::any_of(words, [&](const auto& word) { return said.contains(word); });
  };
  return std::any_of(topic.within.begin(), topic.within.end(), named) ||
         std::any_of(topic.wider.begin(), topic.wider.end(), named);
}

bool is_tree_nut(const Allergen& allergen) { return allergen.id.starts_with("tree-nut"); }

std::vector<Sentence> law_notes(const Topic& topic, const std::string& market) {
  if (!topic.row) return {};
  std::vector<std::string> listed, unlisted, listed_ids, unlisted_ids;
  const auto sort_in = [&](const Market& m) {
    const bool on = (*topic.row).*m.listed;
    (on ? listed : unlisted).emplace_back(m.owner);
    (on ? listed_ids : unlisted_ids).emplace_back(m.id);
  };
  const std::string_view first = list_of(market);
  for (const Market& m : markets)
    if (m.id == first) sort_in(m);
  for (const Market& m : markets)
    if (m.id != first) sort_in(m);
  const std::string name = without_brackets(topic.row->name);
  const std::map<std::string, std::string> values{{"topic", topic.about},
                                                  {"listed", join(listed_ids, ",")},
                                                  {"unlisted", join(unlisted_ids, ",")}};
  std::vector<Sentence> notes;
  if (listed.empty())
    notes.push_back(sentence(
        "law-none",
        fmt::format("{}: on none of the lists of food allergens of {}.", name, owners(unlisted)),
        values));
  else if (unlisted.empty())
    notes.push_back(sentence(
        "law-all", fmt::format("{}: on the lists of food allergens of {}.", name, owners(listed)),
        values));
  else
    notes.push_back(sentence(
        "law-some",
        fmt::format("{}: on the {} of {}, not on {} of {}.", name,
                    listed.size() == 1 ? "list of food allergens" : "lists of food allergens",
                    owners(listed), unlisted.size() == 1 ? "that" : "those", owners(unlisted)),
        values));
  if (!listed.empty() && is_nut_or_seed_oil(topic))
    notes.push_back(sentence(
        "law-refined",
        fmt::format("The laws part on refined oils: the United States leave highly refined oils "
                    "off their list, the European Union and the United Kingdom only fully refined "
                    "soybean oil and fat{}; how far an oil was refined, this record does not know.",
                    topic.row->eu && topic.row->id != "soy"
                        ? fmt::format(", so that {} stays on theirs however refined", topic.name)
                        : ""),
        values));
  return notes;
}

}  // namespace trencher::engine
