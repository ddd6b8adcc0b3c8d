#include "commands/contents.h"

#include <algorithm>

#include "book/queries.h"
#include "commands/markets.h"
#include "commands/shop_said.h"
#include "engine/evidence_topic.h"
#include "reference/reference.h"

namespace trencher::commands {

bool is_divided(const BatchRecord& view) {
  const engine::BatchWork& work = view.facts.work;
  return !work.turns.empty() || !view.scraps.empty() ||
         std::any_of(work.steps.begin(), work.steps.end(),
                     [](const Step& step) { return !step.pieces.empty(); });
}

namespace {

// What the owner is said to have put on, as a tin of that kind whose papers nobody has.
std::optional<Tin> owners_tin(const Turn& back) {
  const FinishKind* kind = reference::find_finish(back.owner_applied);
  if (!kind) return {};
  Tin tin{.entry = back.entry, .at = back.at};
  tin.stock = "finish";
  tin.kind = kind->id;
  tin.name = kind->name + ", put on by its owner";
  tin.contains = kind->contains;
  tin.animal_origin = kind->animal_origin;
  tin.label = usual_label(*kind);
  return tin;
}

// The tins on the piece by stock, each once, in the order in which they came on.
class Gathered {
 public:
  Gathered(const engine::Tins& tins, engine::PieceContents& out) : tins_(tins), out_(out) {}

  void add(const Step& step) {
    for (const Drawn& part : step.drawn)
      for (const Tin* source : engine::sources(tins_, part.tin)) {
        auto& list = source->stock == "glue" ? glue_ : rest_;
        if (std::find(list.begin(), list.end(), source) == list.end()) list.push_back(source);
        auto& entries = out_.steps[source->id];
        if (entries.empty() || entries.back() != step.entry) entries.push_back(step.entry);
        for (const Tin* mix : engine::mixes_between(tins_, part.tin, source->id))
          note(*source, *mix);
      }
  }
  void lay() {
    for (const auto* list : {&glue_, &rest_})
      for (const Tin* tin : *list) out_.tins.push_back(*tin);
  }

 private:
  void note(const Tin& source, const Tin& mix) {
    auto& list = out_.mixed[source.id];
    const auto same = [&](const engine::MixedIn& in) { return in.entry == mix.entry; };
    if (std::none_of(list.begin(), list.end(), same))
      list.push_back({mix.entry, mix.id + " " + mix.name});
  }

  const engine::Tins& tins_;
  engine::PieceContents& out_;
  std::vector<const Tin*> glue_, rest_;
};

// What of the piece is withdrawn: lots and tins as they were used, mixes among them.
void lay_withdrawn(const BatchRecord& view, int piece, engine::PieceContents& out) {
  const auto& withdrawn = view.facts.withdrawn;
  for (const WoodLot& lot : out.wood)
    if (const auto word = withdrawn.find(lot.id); word != withdrawn.end())
      out.withdrawn[lot.id + " " + lot.common_name] = word->second;
  for (const Step& step : view.facts.work.steps)
    if (names_piece(step.pieces, piece))
      for (const Drawn& part : step.drawn)
        if (const auto word = withdrawn.find(part.tin); word != withdrawn.end())
          out.withdrawn[part.tin + " " + view.facts.work.tins.at(part.tin).name] = word->second;
}

// What shared rags, brushes and bench touched while the piece was in work: all that was declared
// then. A later declaration speaks of later work, unless nothing had been declared before.
void lay_cross_contact(Call& call, const BatchRecord& view, int piece, engine::PieceContents& out) {
  Instant last = view.batch().at.at;
  for (const Step& step : view.facts.work.steps)
    if (names_piece(step.pieces, piece)) last = std::max(last, step.at.at);
  std::optional<book::WorkshopStatement> before;  // in force when the batch was begun
  std::vector<book::WorkshopStatement> counting;
  for (book::WorkshopStatement& stated :
       set_by(book::workshop_statements(call.book()), same_cross_contact)) {
    out.cross_contact_entry = out.cross_contact_entry ? out.cross_contact_entry : stated.entry;
    if (!stated.said.cross_contact_declared) continue;
    if (stated.at.at <= view.batch().at.at)
      before = std::move(stated);
    else if (stated.at.at <= last || (!before && counting.empty()))
      counting.push_back(std::move(stated));
  }
  if (before) counting.insert(counting.begin(), std::move(*before));
  for (const book::WorkshopStatement& stated : counting) {
    out.cross_contact_declared = true;
    out.cross_contact_entry = stated.entry;
    for (const std::string& id : stated.said.cross_contact)
      if (std::find(out.cross_contact.begin(), out.cross_contact.end(), id) ==
          out.cross_contact.end())
        out.cross_contact.push_back(id);
  }
}

}  // namespace

engine::PieceContents contents_of(Call& call, const BatchRecord& view, int piece,
                                  const std::string& code) {
  const Batch& batch = view.batch();
  engine::PieceContents out;
  out.piece = code;
  out.batch = batch.code;
  out.batch_entry = batch.entry;
  out.losses = view.facts.work.losses;
  out.wood = view.facts.wood;
  for (const WoodLot& lot : out.wood)
    if (const auto species = find_species(call.book(), lot.species);
        species && !species->nut_family.empty())
      out.nut_family[lot.species] = species->nut_family;
  out.glue_logged = batch.glue.empty();
  Gathered gathered(view.facts.work.tins, out);
  for (const Step& step : view.facts.work.steps) {
    if (!names_piece(step.pieces, piece)) continue;
    if (step.kind == "fit" && step.drawn.empty()) out.fitted.push_back(step);
    out.glue_logged = out.glue_logged || step.kind == "glue-up";
    gathered.add(step);
  }
  gathered.lay();
  for (const Turn& turn : view.facts.work.turns) {
    if (turn.kind != Turn::Kind::take_back || !names_piece(turn.pieces, piece)) continue;
    out.returns.push_back(turn);
    if (auto tin = owners_tin(turn); tin && !turn.unused) out.tins.push_back(std::move(*tin));
  }
  for (const Tin& tin : out.tins)
    if (const FinishKind* kind = reference::find_finish(tin.kind))
      out.usual_ingredients[tin.kind] = kind->ingredients;
  for (const Statement& statement : view.facts.statements)
    if (std::any_of(out.tins.begin(), out.tins.end(),
                    [&](const Tin& tin) { return is_about(statement, tin); }))
      out.statements.push_back(statement);
  lay_cross_contact(call, view, piece, out);
  lay_withdrawn(view, piece, out);
  const std::vector<std::string>& markets = call.settings().markets;
  out.topic_market = markets.empty() ? "us" : allergen_list_of(markets.front());
  return out;
}

std::map<std::string, std::string> all_answers(const engine::PieceContents& contents) {
  const std::span<const Allergen> allergens = reference::allergens();
  std::map<std::string, std::string> out;
  for (const Allergen& allergen : allergens)
    out[allergen.id] = engine::answer(contents, allergen.id, allergens).result;
  out["animal-material"] = engine::answer(contents, "animal-material", allergens).result;
  return out;
}

ListAnswers list_answers(const std::map<std::string, std::string>& answers,
                         const std::string& list) {
  const std::span<const Allergen> allergens = reference::allergens();
  ListAnswers out;
  for (const Allergen& allergen : allergens) {
    const std::string& result = answers.at(allergen.id);
    if (result == engine::contains) {
      out.contains.push_back(allergen.id);
      out.some_listed = out.some_listed || engine::on_list(allergen, list);
    } else if (engine::is_named_by_list(allergen, list, allergens)) {
      (result == engine::none_recorded ? out.none_recorded : out.not_known).push_back(allergen.id);
    }
  }
  const std::vector<std::string> all = out.contains;
  std::erase_if(out.contains, [&](const std::string& id) {
    return std::any_of(all.begin(), all.end(), [&](const std::string& kind) {
      return reference::find_allergen(kind)->parent == id;
    });
  });
  out.animal_material = answers.at("animal-material");
  return out;
}

}  // namespace trencher::commands
