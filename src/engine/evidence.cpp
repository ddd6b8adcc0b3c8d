#include "engine/evidence.h"

#include <fmt/format.h>

#include <algorithm>
#include <iterator>
#include <utility>

#include "domain/text.h"
#include "engine/evidence_list.h"
#include "engine/evidence_topic.h"
#include "engine/evidence_words.h"

namespace trencher::engine {
namespace {

constexpr const char* per_label = "per-label";

bool any_in(const std::vector<std::string>& ids, const std::set<std::string>& wanted) {
  return std::any_of(ids.begin(), ids.end(), [&](const auto& id) { return wanted.contains(id); });
}

bool holds(const std::vector<std::string>& ids, std::string_view wanted) {
  return std::find(ids.begin(), ids.end(), wanted) != ids.end();
}

std::vector<std::string> within(const std::vector<std::string>& ids,
                                const std::set<std::string>& wanted) {
  std::vector<std::string> out;
  std::copy_if(ids.begin(), ids.end(), std::back_inserter(out),
               [&](const std::string& id) { return wanted.contains(id); });
  return out;
}

// The family without its member: a tin that says only 'nut oil'.
std::string unspecified(const std::set<std::string>& wider, std::span<const Allergen> allergens) {
  const std::string& family = *wider.begin();
  if (family == "tree-nut") return "a tree nut, species not known";
  return short_name(family, allergens) + ", which of them not known";
}

enum class Verdict { contains, absent, open };

struct TinAnswer {
  Verdict verdict = Verdict::open;
  std::vector<Because> because;
  Sentence missing;  // where open
};

// An ingredient of a complete list that may be the topic under another name.
const std::string* suspicious(const Statement& statement, const Topic& topic) {
  for (const std::string& ingredient : statement.ingredients)
    if (speaks_of(ingredient, topic)) return &ingredient;
  return nullptr;
}

// Whether a complete list, of ingredients or of allergens, is one on which the topic would stand.
bool would_name(const Statement& statement, const Topic& topic) {
  if (!statement.complete) return false;
  if (statement.about == "ingredients") return true;
  return statement.about == "allergens" && topic.row && on_list(*topic.row, statement.market);
}

using Place = std::vector<Because>::const_iterator;
void insert(std::vector<Because>& to, Place before, std::vector<Because> more) {
  to.insert(before, std::make_move_iterator(more.begin()), std::make_move_iterator(more.end()));
}

class TinJudge {
 public:
  TinJudge(const Tin& tin, const PieceContents& piece, const Topic& topic,
           std::span<const Allergen> allergens)
      : tin_(tin), topic_(topic), allergens_(allergens) {
    for (const Statement& statement : piece.statements)
      if (is_about(statement, tin)) statements_.push_back(&statement);
  }

  TinAnswer judge() {
    if (contained()) {
      out_.verdict = Verdict::contains;
      return std::move(out_);
    }
    const bool which_is_open = family_only();
    if (absent(which_is_open)) {
      out_.verdict = Verdict::absent;
      return std::move(out_);
    }
    out_.missing = wanted();
    if (out_.because.empty())
      add(tin_.entry, about_topic_of(about_tin("no-paper",
                                               fmt::format("No statement says whether {} holds {}.",
                                                           name_of(tin_), topic_.name),
                                               tin_)));
    return std::move(out_);
  }

 private:
  void add(std::int64_t entry, Sentence said) {
    out_.because.push_back(because(entry, std::move(said)));
  }
  Sentence about_topic_of(Sentence said) const {
    said.values["topic"] = topic_.about;
    return said;
  }
  Sentence paper(const char* key, const Statement& statement, const std::string& says,
                 const std::vector<std::string>& ids = {}) const {
    return about_topic_of(about_paper(
        key, fmt::format("{} {}", capital(title_of(statement, tin_)), says), statement, tin_, ids));
  }

  bool contained() {
    if (const auto ids = within(tin_.contains, topic_.within); !ids.empty())
      add(0, about_tin("nature",
                       fmt::format("{} holds {} by the nature of its kind ({}).", name_of(tin_),
                                   names_of(ids, allergens_), tin_.kind),
                       tin_, ids));
    else if (topic_.animal && tin_.animal_origin == "yes")
      add(0, about_tin("nature-animal",
                       fmt::format("{} is of animal origin by the nature of its kind ({}).",
                                   name_of(tin_), tin_.kind),
                       tin_));
    for (const Statement* s : statements_)
      if (const auto ids = within(s->contains, topic_.within); !ids.empty())
        add(s->entry,
            paper("paper-names", *s, fmt::format("names {}.", names_of(ids, allergens_)), ids));
    if (out_.because.empty()) return false;
    for (const Statement* s : statements_)
      if (any_in(s->declares_none, topic_.denied_by))
        add(s->entry,
            paper("paper-denies-in-vain", *s,
                  fmt::format("declares none of {}, but what is contained counts.", topic_.name)));
    return true;
  }

  bool family_only() {
    const std::vector<std::string> family{topic_.wider.begin(), topic_.wider.end()};
    if (any_in(tin_.contains, topic_.wider))
      add(0, about_tin(
                 "family-nature",
                 fmt::format("{} holds {}.", name_of(tin_), unspecified(topic_.wider, allergens_)),
                 tin_, family));
    for (const Statement* s : statements_)
      if (any_in(s->contains, topic_.wider))
        add(s->entry,
            paper("family-paper", *s,
                  fmt::format("names {}.", unspecified(topic_.wider, allergens_)), family));
    return !out_.because.empty();
  }

  // A plain 'none of this' outweighs what an ingredient's name suggests; a list does not.
  bool absent(bool which_is_open) {
    std::vector<Because> denied, unnamed;
    for (const Statement* s : statements_) {
      // Where some member of the family is there, 'none of the family' is plainly wrong.
      const bool denies = which_is_open ? topic_.row && holds(s->declares_none, topic_.row->id)
                                        : any_in(s->declares_none, topic_.denied_by);
      if (denies) {
        denied.push_back(because(
            s->entry, paper("paper-denies", *s, fmt::format("declares none of {}.", topic_.name))));
      } else if (would_name(*s, topic_)) {
        if (const std::string* ingredient = suspicious(*s, topic_)) {
          Sentence said =
              paper("paper-may-be", *s,
                    fmt::format("lists '{}', which may be {}.", *ingredient, topic_.name));
          said.values["ingredient"] = *ingredient;
          add(s->entry, std::move(said));
        } else {
          unnamed.push_back(
              because(s->entry,
                      paper("paper-complete", *s,
                            fmt::format("is marked complete and does not name {}.", topic_.name))));
        }
      }
    }
    // By now out_ holds what leaves it open: the family, or an ingredient under another name.
    if (denied.empty() && (unnamed.empty() || !out_.because.empty())) return false;
    out_.because = std::move(denied);
    insert(out_.because, out_.because.end(), std::move(unnamed));
    return true;
  }

  Sentence wanted() const {
    if (holds(tin_.contains, per_label) && statements_.empty())
      return about_tin(
          "want-list",
          fmt::format("an ingredient list of {}: ask {}", name_of(tin_), whom_to_ask(tin_)), tin_);
    return about_topic_of(
        about_tin("want-paper",
                  fmt::format("a statement on {}, or a complete ingredient list, of {}: ask {}",
                              topic_.name, name_of(tin_), whom_to_ask(tin_)),
                  tin_));
  }

  const Tin& tin_;
  const Topic& topic_;
  std::span<const Allergen> allergens_;
  std::vector<const Statement*> statements_;
  TinAnswer out_;
};

// Adds what the shop declares of its other work; whether that leaves the answer open.
bool add_cross_contact(const PieceContents& piece, const Topic& topic,
                       std::span<const Allergen> allergens, Answer& out) {
  if (!piece.cross_contact_declared) {
    out.because.push_back(
        because(piece.cross_contact_entry ? piece.cross_contact_entry : piece.batch_entry,
                sentence("shop-undeclared",
                         "What else the shared rags, brushes and bench touch is not declared.")));
    if (out.result != contains)
      out.missing.push_back(sentence(
          "want-shop", "what else the shop handles (shared rags, brushes and bench): declare it"));
    return true;
  }
  std::set<std::string> open = topic.within;
  open.insert(topic.wider.begin(), topic.wider.end());
  const std::vector<std::string> handled = within(piece.cross_contact, open);
  if (handled.empty()) {
    out.because.push_back(because(
        piece.cross_contact_entry,
        sentence("shop-clear",
                 fmt::format("The shop's declared cross-contact does not name {}.", topic.name),
                 {{"topic", topic.about}})));
    return false;
  }
  out.because.push_back(
      because(piece.cross_contact_entry,
              sentence("shop-handles",
                       fmt::format("Shared rags, brushes or bench: the shop handles {}.",
                                   names_of(handled, allergens)),
                       {}, handled)));
  return true;
}

void add_notes(const PieceContents& piece, const Topic& topic, bool coated, Answer& out) {
  if (out.result == none_recorded) out.notes.push_back(none_recorded_note());
  if (!coated)
    out.notes.push_back(sentence(
        "no-coat-yet",
        "No coat is logged yet: this speaks only of what is logged, not of the finish that is "
        "planned."));
  if (!topic.animal) add_timber_note(piece, topic.row && is_tree_nut(*topic.row), out);
  for (Sentence& note : law_notes(topic, piece.topic_market)) out.notes.push_back(std::move(note));
  if (!topic.animal) add_doctor_note(out);
}

Answer about_topic(const PieceContents& piece, const std::string& about,
                   std::span<const Allergen> allergens) {
  const Topic topic = topic_of(about, allergens);
  Answer out{piece.piece, about, {}, {}, {}, {}};
  std::vector<Because> present, absent, open;
  std::vector<Sentence> missing;
  bool coated = false;
  for (const Tin& tin : piece.tins) {
    coated = coated || tin.stock == "finish";
    TinAnswer judged = TinJudge(tin, piece, topic, allergens).judge();
    auto& reasons = judged.verdict == Verdict::contains ? present
                    : judged.verdict == Verdict::absent ? absent
                                                        : open;
    insert(reasons, reasons.end(), std::move(judged.because));
    add_way(piece, tin, reasons);
    if (judged.verdict == Verdict::open) missing.push_back(std::move(judged.missing));
  }
  if (!present.empty()) {
    out.result = contains;
    out.because = std::move(present);
    add_cross_contact(piece, topic, allergens, out);
  } else {
    out.because = std::move(open);
    out.missing = std::move(missing);
    add_unlogged(piece, out);
    add_fitted(piece, out);
    add_returns(piece, out);
    const bool shared = add_cross_contact(piece, topic, allergens, out);
    out.result = out.missing.empty() && !shared ? none_recorded : not_known;
    // Of what is not known, what leaves it open comes first.
    insert(out.because, out.result == not_known ? out.because.end() : out.because.begin(),
           std::move(absent));
  }
  out.because.push_back(of_batch(piece));
  add_notes(piece, topic, coated, out);
  return out;
}

}  // namespace

Answer answer(const PieceContents& piece, const std::string& about,
              std::span<const Allergen> allergens) {
  Answer out =
      is_list_topic(about) ? listed(piece, about, allergens) : about_topic(piece, about, allergens);
  add_withdrawn_notes(piece, out);
  if (piece.losses.any()) {
    if (out.result == none_recorded) out.result = not_known;
    out.missing.push_back({"entries-lost", piece.losses.sentence(), {}, {}});
  }
  return out;
}

}  // namespace trencher::engine
