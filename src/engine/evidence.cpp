#include "engine/evidence.h"

#include <fmt/format.h>

#include <algorithm>

#include "domain/text.h"
#include "engine/evidence_topic.h"

namespace trencher::engine {
namespace {

constexpr const char* per_label = "per-label";

bool any_in(const std::vector<std::string>& ids, const std::set<std::string>& wanted) {
  return std::any_of(ids.begin(), ids.end(), [&](const auto& id) { return wanted.contains(id); });
}

bool holds(const std::vector<std::string>& ids, std::string_view wanted) {
  return std::find(ids.begin(), ids.end(), wanted) != ids.end();
}

std::string name_of(const Tin& tin) {
  return tin.id.empty() ? tin.name : fmt::format("{} {}", tin.id, tin.name);
}

std::string whom_to_ask(const Tin& tin) {
  return tin.supplier.empty() ? "its supplier, whom the record does not name"
                              : fmt::format("its supplier {}", tin.supplier);
}

std::string names(const std::vector<std::string>& ids, const std::vector<Allergen>& allergens) {
  std::vector<std::string> out;
  for (const std::string& id : ids)
    if (id != per_label) out.push_back(short_name(id, allergens));
  return join_words(out);
}

// Ids of `ids` that are in `wanted`, as words.
std::string names_within(const std::vector<std::string>& ids, const std::set<std::string>& wanted,
                         const std::vector<Allergen>& allergens) {
  std::vector<std::string> out;
  std::copy_if(ids.begin(), ids.end(), std::back_inserter(out),
               [&](const std::string& id) { return wanted.contains(id); });
  return names(out, allergens);
}

// The family without its member: a tin that says only 'nut oil'.
std::string unspecified(const std::set<std::string>& wider,
                        const std::vector<Allergen>& allergens) {
  const std::string& family = *wider.begin();
  if (family == "tree-nut") return "a tree nut, species not known";
  return short_name(family, allergens) + ", which of them not known";
}

std::string title_of(const Statement& statement, const Tin& tin) {
  const std::string dated = statement.dated ? fmt::format(" of {}", show(*statement.dated)) : "";
  if (statement.about == "safety")
    return fmt::format("the safety data sheet{} of {}", dated, name_of(tin));
  const std::string_view about =
      statement.about == "food-contact" ? "food contact" : std::string_view(statement.about);
  return fmt::format("the statement{} about {} of {}", dated, about, name_of(tin));
}

std::string capital(std::string text) {
  if (!text.empty() && text[0] >= 'a' && text[0] <= 'z')
    text[0] = static_cast<char>(text[0] - 'a' + 'A');
  return text;
}

// How a tin came onto the piece.
void add_steps(const PieceContents& piece, const Tin& tin, std::vector<Because>& because) {
  const auto steps = piece.steps.find(tin.id);
  if (steps == piece.steps.end()) return;
  const std::string_view what = tin.stock == "glue"     ? "was spread in this glue-up"
                                : tin.stock == "finish" ? "was laid on in this coat"
                                                        : "was fitted in this step";
  for (const std::int64_t entry : steps->second)
    because.push_back({entry, fmt::format("{} {}.", name_of(tin), what)});
  if (const auto mixed = piece.mixed.find(tin.id); mixed != piece.mixed.end())
    for (const MixedIn& in : mixed->second)
      because.push_back({in.entry, fmt::format("{} went into {}.", name_of(tin), in.mix)});
}

enum class Verdict { contains, absent, open };

struct TinAnswer {
  Verdict verdict = Verdict::open;
  std::vector<Because> because;
  std::string missing;  // where open
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

class TinJudge {
 public:
  TinJudge(const Tin& tin, const PieceContents& piece, const Topic& topic,
           const std::vector<Allergen>& allergens)
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
      out_.because.push_back({tin_.entry, fmt::format("No statement says whether {} holds {}.",
                                                      name_of(tin_), topic_.name)});
    return std::move(out_);
  }

 private:
  void add(std::int64_t entry, std::string text) {
    out_.because.push_back({entry, std::move(text)});
  }

  bool contained() {
    if (any_in(tin_.contains, topic_.within))
      add(0, fmt::format("{} holds {} by the nature of its kind ({}).", name_of(tin_),
                         names_within(tin_.contains, topic_.within, allergens_), tin_.kind));
    else if (topic_.animal && tin_.animal_origin == "yes")
      add(0, fmt::format("{} is of animal origin by the nature of its kind ({}).", name_of(tin_),
                         tin_.kind));
    for (const Statement* s : statements_)
      if (any_in(s->contains, topic_.within))
        add(s->entry, fmt::format("{} names {}.", capital(title_of(*s, tin_)),
                                  names_within(s->contains, topic_.within, allergens_)));
    if (out_.because.empty()) return false;
    for (const Statement* s : statements_)
      if (any_in(s->declares_none, topic_.denied_by))
        add(s->entry, fmt::format("{} declares none of {}, but what is contained counts.",
                                  capital(title_of(*s, tin_)), topic_.name));
    return true;
  }

  bool family_only() {
    if (any_in(tin_.contains, topic_.wider))
      add(0, fmt::format("{} holds {}.", name_of(tin_), unspecified(topic_.wider, allergens_)));
    for (const Statement* s : statements_)
      if (any_in(s->contains, topic_.wider))
        add(s->entry, fmt::format("{} names {}.", capital(title_of(*s, tin_)),
                                  unspecified(topic_.wider, allergens_)));
    return !out_.because.empty();
  }

  // A plain 'none of this' outweighs what an ingredient's name suggests; a list does not.
  bool absent(bool which_is_open) {
    std::vector<Because> denied, unnamed;
    for (const Statement* s : statements_) {
      const std::string title = capital(title_of(*s, tin_));
      // Where some member of the family is there, 'none of the family' is plainly wrong.
      const bool denies = which_is_open ? topic_.row && holds(s->declares_none, topic_.row->id)
                                        : any_in(s->declares_none, topic_.denied_by);
      if (denies) {
        denied.push_back({s->entry, fmt::format("{} declares none of {}.", title, topic_.name)});
      } else if (would_name(*s, topic_)) {
        if (const std::string* ingredient = suspicious(*s, topic_))
          add(s->entry,
              fmt::format("{} lists '{}', which may be {}.", title, *ingredient, topic_.name));
        else
          unnamed.push_back({s->entry, fmt::format("{} is marked complete and does not name {}.",
                                                   title, topic_.name)});
      }
    }
    // By now out_ holds what leaves it open: the family, or an ingredient under another name.
    if (denied.empty() && (unnamed.empty() || !out_.because.empty())) return false;
    out_.because = std::move(denied);
    out_.because.insert(out_.because.end(), unnamed.begin(), unnamed.end());
    return true;
  }

  std::string wanted() const {
    if (holds(tin_.contains, per_label) && statements_.empty())
      return fmt::format("an ingredient list of {}: ask {}", name_of(tin_), whom_to_ask(tin_));
    return fmt::format("a statement on {}, or a complete ingredient list, of {}: ask {}",
                       topic_.name, name_of(tin_), whom_to_ask(tin_));
  }

  const Tin& tin_;
  const Topic& topic_;
  const std::vector<Allergen>& allergens_;
  std::vector<const Statement*> statements_;
  TinAnswer out_;
};

void append(std::vector<Because>& to, const std::vector<Because>& more) {
  to.insert(to.end(), more.begin(), more.end());
}

// Adds why the shop's other work leaves the answer open; false where it does not.
bool cross_contact_open(const PieceContents& piece, const Topic& topic,
                        const std::vector<Allergen>& allergens, Answer& out) {
  if (!piece.cross_contact_declared) {
    const auto entry = piece.cross_contact_entry ? piece.cross_contact_entry : piece.batch_entry;
    out.because.push_back(
        {entry, "What else the shared rags, brushes and bench touch is not declared."});
    out.missing.emplace_back(
        "what else the shop handles (shared rags, brushes and bench): declare it");
    return true;
  }
  std::set<std::string> open = topic.within;
  open.insert(topic.wider.begin(), topic.wider.end());
  const std::string handled = names_within(piece.cross_contact, open, allergens);
  if (handled.empty()) return false;
  out.because.push_back(
      {piece.cross_contact_entry,
       fmt::format("Shared rags, brushes or bench: the shop handles {} (entry {}).", handled,
                   piece.cross_contact_entry)});
  return true;
}

// What a board that came back leaves open.
void add_returns(const PieceContents& piece, Answer& out) {
  for (const Turn& back : piece.returns) {
    if (back.unused) continue;
    out.because.push_back(
        {back.entry,
         fmt::format("It came back on {} after use: what food touched it there, nothing "
                     "tells.",
                     show(local_day(back.at)))});
    out.missing.push_back(fmt::format(
        "what it was used for until it came back (entry {}): ask who had it", back.entry));
    if (back.owner_applied == "nothing") continue;
    out.because.push_back(
        {back.entry, back.owner_applied.empty()
                         ? std::string("What its owner put on it is not known.")
                         : fmt::format("Its owner put on '{}'; nothing says what else is in it.",
                                       back.owner_applied)});
    out.missing.push_back(fmt::format(
        "what its owner put on it until it came back (entry {}): ask who had it", back.entry));
  }
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

void add_notes(const PieceContents& piece, const Topic& topic, bool coated, Answer& out) {
  if (out.result == none_recorded) out.notes.emplace_back("None recorded does not mean free from.");
  if (!coated)
    out.notes.emplace_back(
        "No coat is logged yet: this speaks only of what is logged, not of the finish that is "
        "planned.");
  if (!piece.wood.empty() && !topic.animal)
    out.notes.push_back(
        fmt::format("The timber stands on a line of its own: {}. Whether timber matters to an "
                    "allergy this record "
                    "cannot tell, above all where the tree is of a nut's family: ask a doctor.",
                    join_words(wood_names(piece))));
  for (std::string& note : law_notes(topic, piece.topic_market))
    out.notes.push_back(std::move(note));
  if (!topic.animal) out.notes.emplace_back("A maker's record is no medical advice; ask a doctor.");
}

Answer about_topic(const PieceContents& piece, const std::string& about,
                   const std::vector<Allergen>& allergens) {
  const Topic topic = topic_of(about, allergens);
  Answer out{piece.piece, about, {}, {}, {}, {}};
  std::vector<Because> present, absent, open;
  std::vector<std::string> missing;
  bool coated = false;
  for (const Tin& tin : piece.tins) {
    coated = coated || tin.stock == "finish";
    const TinAnswer judged = TinJudge(tin, piece, topic, allergens).judge();
    if (judged.verdict == Verdict::contains) {
      append(present, judged.because);
      add_steps(piece, tin, present);
    } else if (judged.verdict == Verdict::absent) {
      append(absent, judged.because);
    } else {
      append(open, judged.because);
      missing.push_back(judged.missing);
    }
  }
  if (!present.empty()) {
    out.result = contains;
    out.because = std::move(present);
  } else {
    out.because = std::move(open);
    out.missing = std::move(missing);
    if (!piece.glue_logged) {
      out.because.push_back(
          {piece.batch_entry, "The batch has a glue, but no glue-up is logged yet."});
      out.missing.emplace_back("the glue-up, with the tin that it was made from: log it");
    } else if (piece.tins.empty()) {
      out.because.push_back({piece.batch_entry, "No glue and no coat is logged on the piece."});
      out.missing.emplace_back("the coats, with the tins that they were made from: log them");
    }
    for (const Step& part : piece.fitted) {
      out.because.push_back(
          {part.entry, fmt::format("Fitted: {}; nothing says what it holds.", part.text)});
      out.missing.push_back(
          fmt::format("what '{}' (entry {}) is made of: ask its supplier", part.text, part.entry));
    }
    add_returns(piece, out);
    const bool shared = cross_contact_open(piece, topic, allergens, out);
    if (out.missing.empty() && !shared) {
      out.result = none_recorded;
      out.because = std::move(absent);
      for (const Turn& back : piece.returns)
        out.because.push_back({back.entry, fmt::format("It came back on {}, unused as was said.",
                                                       show(local_day(back.at)))});
      out.because.push_back(
          {piece.cross_contact_entry,
           fmt::format("The shop's declared cross-contact does not name {}.", topic.name)});
    } else {
      out.result = not_known;
    }
  }
  add_notes(piece, topic, coated, out);
  return out;
}

std::string origin_of(const std::string& supplier, const std::string& lot) {
  std::string out;
  if (!lot.empty()) out += ", lot " + lot;
  if (!supplier.empty()) out += ", from " + supplier;
  return out;
}

void list_wood(const PieceContents& piece, Answer& out) {
  const std::vector<std::string> woods = wood_names(piece);
  for (std::size_t i = 0; i < woods.size(); ++i) {
    const WoodLot& lot = piece.wood[i];
    out.because.push_back(
        {lot.entry, fmt::format("{} {}{}.", lot.id, woods[i], origin_of(lot.supplier, lot.lot))});
  }
}

// A tin with what its nature and the papers on it name; what else is in it stays open unless one of
// the papers is a complete ingredient list.
void list_tin(const PieceContents& piece, const Tin& tin, const std::vector<Allergen>& allergens,
              Answer& out) {
  out.because.push_back({tin.entry, fmt::format("{} ({}){}.", name_of(tin), tin.kind,
                                                origin_of(tin.supplier, tin.lot))});
  add_steps(piece, tin, out.because);
  if (const std::string nature = names(tin.contains, allergens); !nature.empty())
    out.because.push_back(
        {0, fmt::format("{} holds {} by the nature of its kind.", name_of(tin), nature)});
  bool complete = false;
  for (const Statement& s : piece.statements) {
    if (!is_about(s, tin)) continue;
    complete = complete || (s.complete && s.about == "ingredients");
    std::vector<std::string> named = s.ingredients;
    if (named.empty() && !s.contains.empty()) named = {names(s.contains, allergens)};
    if (!named.empty())
      out.because.push_back(
          {s.entry, fmt::format("{} names {}.", capital(title_of(s, tin)), join_words(named))});
  }
  if (!complete)
    out.missing.push_back(
        fmt::format("a complete ingredient list of {}: ask {}", name_of(tin), whom_to_ask(tin)));
}

Answer listed(const PieceContents& piece, const std::string& about,
              const std::vector<Allergen>& allergens) {
  Answer out{piece.piece, about, {}, {}, {}, {}};
  const bool all = about == "contents";
  if (all || about == "wood") list_wood(piece, out);
  for (const Tin& tin : piece.tins)
    if (all || tin.stock == about) list_tin(piece, tin, allergens, out);
  if (all || about == "other")
    for (const Step& part : piece.fitted) {
      out.because.push_back({part.entry, fmt::format("Fitted: {}.", part.text)});
      out.missing.push_back(fmt::format("what '{}' is made of: ask its supplier", part.text));
    }
  if (all || about == "finish")
    for (const Turn& back : piece.returns) {
      if (back.owner_applied.empty() && !back.unused)
        out.missing.push_back(fmt::format(
            "what its owner put on it until it came back (entry {}): ask who had it", back.entry));
      else if (back.owner_applied == "nothing")
        out.because.push_back({back.entry, "Its owner put nothing on it, as was said."});
      else if (!back.unused)
        out.because.push_back(
            {back.entry, fmt::format("Its owner put on '{}', as was said.", back.owner_applied)});
    }
  const bool coated = std::any_of(piece.tins.begin(), piece.tins.end(),
                                  [](const Tin& tin) { return tin.stock == "finish"; });
  if ((all || about == "glue") && !piece.glue_logged)
    out.missing.emplace_back("the glue-up, with the tin that it was made from: log it");
  if ((all || about == "finish") && !coated)
    out.missing.emplace_back(
        "the coats, with the tins that they were made from: none is logged yet");
  if (about == "wood" && piece.wood.empty())
    out.missing.emplace_back("the wood: no lot is recorded");
  out.result = !out.because.empty() ? contains : !out.missing.empty() ? not_known : none_recorded;
  if (out.result == none_recorded) {
    out.because.push_back({piece.batch_entry, about == "other"
                                                  ? "Nothing is logged as fitted to it."
                                                  : "The batch was made without glue."});
    out.notes.emplace_back("None recorded does not mean free from.");
  }
  return out;
}

}  // namespace

Answer answer(const PieceContents& piece, const std::string& about,
              const std::vector<Allergen>& allergens) {
  if (about == "finish" || about == "glue" || about == "other" || about == "wood" ||
      about == "contents")
    return listed(piece, about, allergens);
  return about_topic(piece, about, allergens);
}

}  // namespace trencher::engine
