#include "engine/evidence_words.h"

#include <fmt/format.h>

#include <array>

#include "domain/text.h"
#include "engine/evidence_topic.h"

namespace trencher::engine {
namespace {

constexpr const char* per_label = "per-label";

constexpr std::array<std::string_view, 59> keys{
    // because, of one substance
    "nature", "nature-animal", "nature-ingredient", "paper-names", "paper-denies-in-vain",
    "family-nature", "family-paper", "paper-denies", "paper-complete", "paper-may-be", "no-paper",
    "step-glue", "step-coat", "step-fit", "mixed", "received", "of-batch", "shop-undeclared",
    "shop-handles", "shop-clear", "shop-other-name", "came-back", "came-back-unused",
    "owner-unknown", "owner-put-on", "no-glue-up", "nothing-logged", "fitted",
    // because, of a list
    "wood", "tin", "tin-nature", "paper-lists", "fitted-part", "owner-nothing", "owner-said",
    "nothing-fitted", "no-glue",
    // missing
    "want-list", "want-paper", "want-shop", "want-use", "want-owner", "want-glue-up", "want-coats",
    "want-coats-of-finish", "want-part", "want-wood", "entries-lost",
    // notes
    "reservation", "no-coat-yet", "timber", "timber-of-nut", "law-none", "law-all", "law-some",
    "law-refined", "ask-doctor", "no-table-name", "withdrawn"};

void put(std::map<std::string, std::string>& values, const char* name, const std::string& value) {
  if (!value.empty()) values[name] = value;
}

std::map<std::string, std::string> tin_values(const Tin& tin) {
  std::map<std::string, std::string> out;
  put(out, "tin", tin.id);
  put(out, "name", tin.name);
  put(out, "kind", tin.kind);
  put(out, "supplier", tin.supplier);
  put(out, "lot", tin.lot);
  return out;
}

}  // namespace

std::span<const std::string_view> sentence_keys() { return keys; }

std::string names_of(const std::vector<std::string>& ids, std::span<const Allergen> allergens) {
  std::vector<std::string> out;
  for (const std::string& id : ids)
    if (id != per_label) out.push_back(short_name(id, allergens));
  return join_words(out);
}

std::string name_of(const Tin& tin) {
  return tin.id.empty() ? tin.name : fmt::format("{} {}", tin.id, tin.name);
}

std::string origin_of(const std::string& supplier, const std::string& lot) {
  std::string out;
  if (!lot.empty()) out += ", lot " + lot;
  if (!supplier.empty()) out += ", from " + supplier;
  return out;
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z')
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

std::string title_of(const Statement& statement, const Tin& tin) {
  const std::string dated = statement.dated ? fmt::format(" of {}", show(*statement.dated)) : "";
  if (statement.about == "safety")
    return fmt::format("the safety data sheet{} of {}", dated, name_of(tin));
  const std::string_view about =
      statement.about == "food-contact" ? "food contact" : std::string_view(statement.about);
  return fmt::format("the statement{} about {} of {}", dated, about, name_of(tin));
}

std::string whom_to_ask(const Tin& tin) {
  return tin.supplier.empty() ? "its supplier, whom the record does not name"
                              : fmt::format("its supplier {}", tin.supplier);
}

Sentence sentence(std::string key, std::string text, std::map<std::string, std::string> values,
                  std::vector<std::string> ids) {
  return {std::move(key), std::move(text), std::move(values), std::move(ids)};
}

Because because(std::int64_t entry, Sentence said) { return {std::move(said), entry}; }

Sentence about_tin(std::string key, std::string text, const Tin& tin,
                   std::vector<std::string> ids) {
  return sentence(std::move(key), std::move(text), tin_values(tin), std::move(ids));
}

Sentence about_paper(std::string key, std::string text, const Statement& statement, const Tin& tin,
                     std::vector<std::string> ids) {
  Sentence out = about_tin(std::move(key), std::move(text), tin, std::move(ids));
  put(out.values, "about", statement.about);
  if (statement.dated) out.values["dated"] = iso(*statement.dated);
  return out;
}

void add_way(const PieceContents& piece, const Tin& tin, std::vector<Because>& out) {
  const std::string what = tin.stock == "glue"     ? "was spread in this glue-up"
                           : tin.stock == "finish" ? "was laid on in this coat"
                                                   : "was fitted in this step";
  const std::string key = tin.stock == "glue"     ? "step-glue"
                          : tin.stock == "finish" ? "step-coat"
                                                  : "step-fit";
  if (const auto steps = piece.steps.find(tin.id); steps != piece.steps.end())
    for (const std::int64_t entry : steps->second)
      out.push_back(because(entry, about_tin(key, fmt::format("{} {}.", name_of(tin), what), tin)));
  if (const auto mixed = piece.mixed.find(tin.id); mixed != piece.mixed.end())
    for (const MixedIn& in : mixed->second) {
      Sentence said =
          about_tin("mixed", fmt::format("{} went into {}.", name_of(tin), in.mix), tin);
      said.values["mix"] = in.mix;
      out.push_back(because(in.entry, std::move(said)));
    }
  if (!tin.id.empty() && tin.entry)  // of a lost one nobody knows
    out.push_back(because(tin.entry, about_tin("received",
                                               fmt::format("{} was received{}.", name_of(tin),
                                                           origin_of(tin.supplier, tin.lot)),
                                               tin)));
}

Because of_batch(const PieceContents& piece) {
  return because(piece.batch_entry,
                 sentence("of-batch", fmt::format("Batch {} was begun.", piece.batch),
                          {{"batch", piece.batch}}));
}

Sentence none_recorded_note() {
  return sentence("reservation", "None recorded does not mean free from.");
}

Sentence glue_up_missing() {
  return sentence("want-glue-up", "the glue-up, with the tin that it was made from: log it");
}

Sentence part_missing(const Step& part) {
  return sentence(
      "want-part",
      fmt::format("what '{}' (entry {}) is made of: ask its supplier", part.text, part.entry),
      {{"part", part.text}});
}

std::vector<std::string> wood_names(const PieceContents& piece) {
  std::vector<std::string> out;
  for (const WoodLot& lot : piece.wood) {
    const std::string name = lot.common_name.empty()
                                 ? lot.species
                                 : lot.common_name.substr(0, lot.common_name.find(" ("));
    out.push_back(lot.botanical_name.empty() ? name
                                             : fmt::format("{} ({})", name, lot.botanical_name));
  }
  return out;
}

}  // namespace trencher::engine
