#include <fmt/format.h>

#include <algorithm>

#include "domain/text.h"
#include "engine/evidence.h"
#include "engine/evidence_list.h"
#include "engine/evidence_topic.h"
#include "engine/evidence_words.h"

namespace trencher::engine {
namespace {

bool all_in(const std::set<std::string>& few, const std::set<std::string>& many) {
  return std::includes(many.begin(), many.end(), few.begin(), few.end());
}

// The words of a text, of a plural only the singular: "walnut oils" and "walnut oil" are one.
std::set<std::string> stems_of(std::string_view text) {
  std::set<std::string> out = words_of(text);
  std::erase_if(out, [&](const std::string& word) {
    return word.ends_with('s') && out.contains(word.substr(0, word.size() - 1));
  });
  return out;
}

class Search {
 public:
  Search(const PieceContents& piece, const std::string& name)
      : piece_(piece), name_(name), words_(stems_of(name)) {}

  Answer run() {
    std::vector<Because> present, open;
    for (const Tin& tin : piece_.tins) {
      std::vector<Because> found = named_by(tin);
      const bool contained = !found.empty();
      if (!contained) found = left_open_by(tin);
      auto& reasons = contained ? present : open;
      reasons.insert(reasons.end(), found.begin(), found.end());
      add_way(piece_, tin, reasons);
    }
    Answer out{piece_.piece, name_, {}, {}, {}, {}};
    if (!present.empty()) {
      out.result = contains;
      out.because = std::move(present);
    } else {
      out.result = not_known;
      out.because = std::move(open);
      out.missing = std::move(missing_);
      add_unlogged(piece_, out);
      add_fitted(piece_, out);
      add_returns(piece_, out);
      out.because.push_back(because(
          piece_.cross_contact_entry ? piece_.cross_contact_entry : piece_.batch_entry,
          sentence("shop-other-name",
                   fmt::format("What the shop declares of shared rags, brushes and bench speaks of "
                               "allergens and listed substances, not of '{}'.",
                               name_),
                   {{"ingredient", name_}})));
    }
    out.because.push_back(of_batch(piece_));
    out.notes.push_back(sentence(
        "no-table-name",
        fmt::format("'{}' was looked for by this name alone; papers may name it otherwise.", name_),
        {{"ingredient", name_}}));
    add_doctor_note(out);
    add_withdrawn_notes(piece_, out);
    return out;
  }

 private:
  std::vector<Because> named_by(const Tin& tin) const {
    std::vector<Because> out;
    if (const auto usual = piece_.usual_ingredients.find(tin.kind);
        usual != piece_.usual_ingredients.end())
      for (const std::string& ingredient : usual->second)
        if (all_in(words_, stems_of(ingredient))) {
          Sentence said = about_tin("nature-ingredient",
                                    fmt::format("{} is made of {} by the nature of its kind ({}).",
                                                name_of(tin), ingredient, tin.kind),
                                    tin);
          said.values["ingredient"] = ingredient;
          out.push_back(because(0, std::move(said)));
        }
    for (const Statement& paper : piece_.statements)
      if (is_about(paper, tin))
        for (const std::string& ingredient : paper.ingredients)
          if (all_in(words_, stems_of(ingredient))) {
            Sentence said = about_paper(
                "paper-lists",
                fmt::format("{} names {}.", capital(title_of(paper, tin)), ingredient), paper, tin);
            said.values["ingredients"] = ingredient;
            out.push_back(because(paper.entry, std::move(said)));
          }
    return out;
  }

  std::vector<Because> left_open_by(const Tin& tin) {
    std::vector<Because> out;
    bool complete = false;
    for (const Statement& paper : piece_.statements) {
      if (!is_about(paper, tin) || !paper.complete || paper.about != "ingredients") continue;
      complete = true;
      const auto wider = std::find_if(paper.ingredients.begin(), paper.ingredients.end(),
                                      [&](const std::string& ingredient) {
                                        const std::set<std::string> said = stems_of(ingredient);
                                        return !said.empty() && all_in(said, words_);
                                      });
      Sentence said = wider == paper.ingredients.end()
                          ? about_paper("paper-complete",
                                        fmt::format("{} is marked complete and does not name {}.",
                                                    capital(title_of(paper, tin)), name_),
                                        paper, tin)
                          : about_paper("paper-may-be",
                                        fmt::format("{} lists '{}', which may be {}.",
                                                    capital(title_of(paper, tin)), *wider, name_),
                                        paper, tin);
      if (wider != paper.ingredients.end()) said.values["ingredient"] = *wider;
      said.values["topic"] = name_;
      out.push_back(because(paper.entry, std::move(said)));
    }
    if (complete) return out;
    Sentence said =
        about_tin("no-paper",
                  fmt::format("No statement says whether {} holds {}.", name_of(tin), name_), tin);
    said.values["topic"] = name_;
    out.push_back(because(tin.entry, std::move(said)));
    missing_.push_back(about_tin(
        "want-list",
        fmt::format("a complete ingredient list of {}: ask {}", name_of(tin), whom_to_ask(tin)),
        tin));
    return out;
  }

  const PieceContents& piece_;
  const std::string& name_;
  std::set<std::string> words_;
  std::vector<Sentence> missing_;
};

}  // namespace

Answer answer_ingredient(const PieceContents& piece, const std::string& name) {
  return Search(piece, name).run();
}

}  // namespace trencher::engine
