#include "commands/topics.h"

#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "book/queries.h"
#include "commands/choices.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"
#include "engine/evidence_topic.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

// The id whose name or short name the word is; empty: none.
std::string id_of_name(const std::string& word) {
  const std::string wanted = lower_ascii(word);
  for (const Allergen& allergen : reference::allergens())
    if (lower_ascii(allergen.name) == wanted || lower_ascii(allergen_name(allergen.id)) == wanted)
      return allergen.id;
  return "";
}

// Ingredients by which a shipped kind or a paper in the book names something, in lower case.
std::set<std::string> known_ingredients(Call& call) {
  std::set<std::string> out;
  for (const FinishKind& kind : reference::finishes())
    for (const std::string& name : kind.ingredients) out.insert(lower_ascii(name));
  std::vector<std::string> subjects;
  for (const char* stock : {"glue", "finish", "other", "product"})
    for (std::string& id : book::ids_of_class(call.book(), stock))
      subjects.push_back(std::move(id));
  for (const Statement& paper : book::statements_on(call.book(), subjects))
    for (const std::string& name : paper.ingredients) out.insert(lower_ascii(name));
  return out;
}

// Ids that the word may mean: near ones, and those that an ingredient of that name speaks of.
std::vector<std::string> near_ids(const std::string& word) {
  std::vector<std::string> out = near_matches(word, topic_ids());
  for (std::string& id : ids_spoken_of(word))
    if (std::find(out.begin(), out.end(), id) == out.end()) out.push_back(std::move(id));
  for (std::string& id : out) id = "'" + id + "'";
  return out;
}

[[noreturn]] void refuse(const std::string& word, const std::set<std::string>& ingredients) {
  std::string text = fmt::format(
      "'{}' is no id of 'trencher allergens', nor an ingredient that a paper in the book names; "
      "nothing is guessed.",
      word);
  if (const auto near = near_ids(word); !near.empty())
    text += fmt::format(" Near {} {}.", near.size() == 1 ? "is" : "are", join_words(near));
  if (const auto names = near_matches(word, {ingredients.begin(), ingredients.end()});
      !names.empty())
    text += fmt::format(" Named as ingredient: {}.", join_words(names));
  throw Error::request(text + " --ingredient asks for any name.");
}

}  // namespace

std::vector<std::string> topic_ids() {
  std::vector<std::string> out{"finish", "glue", "other", "wood", "contents", "animal-material"};
  for (std::string& id : ids_of(reference::allergens())) out.push_back(std::move(id));
  return out;
}

std::vector<Topic> topics_of(Call& call, const std::vector<std::string>& about,
                             const std::vector<std::string>& ingredients) {
  std::vector<Topic> out;
  const auto add = [&](Topic topic) {
    if (std::find(out.begin(), out.end(), topic) == out.end()) out.push_back(std::move(topic));
  };
  const std::vector<std::string> ids = topic_ids();
  for (const std::string& typed : about) {
    const std::string word = checked_text(typed, "--about");
    if (std::find(ids.begin(), ids.end(), word) != ids.end()) {
      // Of the dust of a wood only the wood itself can tell.
      add({word == "wood-dust" ? "wood" : word, false});
    } else if (std::string id = id_of_name(word); !id.empty()) {
      add({std::move(id), false});
    } else {
      const std::set<std::string> known = known_ingredients(call);
      if (!known.contains(lower_ascii(word))) refuse(word, known);
      add({word, true});
    }
  }
  for (const std::string& name : ingredients) add({checked_text(name, "--ingredient"), true});
  return out;
}

std::vector<std::string> ids_spoken_of(const std::string& ingredient) {
  const std::vector<std::string> topics = topic_ids();
  if (std::find(topics.begin(), topics.end(), ingredient) != topics.end()) return {};
  const std::span<const Allergen> allergens = reference::allergens();
  std::vector<std::string> out;
  for (const Allergen& allergen : allergens) {
    engine::Topic topic = engine::topic_of(allergen.id, allergens);
    topic.wider.clear();
    topic.within = {allergen.id};
    if (engine::speaks_of(ingredient, topic)) out.push_back(allergen.id);
  }
  return out;
}

engine::Answer answer_topic(const engine::PieceContents& contents, const Topic& topic) {
  return topic.ingredient ? engine::answer_ingredient(contents, topic.about)
                          : engine::answer(contents, topic.about, reference::allergens());
}

}  // namespace trencher::commands
