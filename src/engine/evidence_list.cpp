#include "engine/evidence_list.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>

#include "domain/text.h"
#include "engine/evidence_topic.h"
#include "engine/evidence_words.h"

namespace trencher::engine {
namespace {

constexpr std::array list_topics{"finish", "glue", "other", "wood", "contents"};

void list_wood(const PieceContents& piece, Answer& out) {
  const std::vector<std::string> woods = wood_names(piece);
  for (std::size_t i = 0; i < woods.size(); ++i) {
    const WoodLot& lot = piece.wood[i];
    Sentence said = sentence(
        "wood", fmt::format("{} {}{}.", lot.id, woods[i], origin_of(lot.supplier, lot.lot)),
        {{"id", lot.id}, {"species", lot.species}, {"wood", woods[i]}});
    if (!lot.botanical_name.empty()) said.values["botanical"] = lot.botanical_name;
    if (!lot.supplier.empty()) said.values["supplier"] = lot.supplier;
    if (!lot.lot.empty()) said.values["lot"] = lot.lot;
    out.because.push_back(because(lot.entry, std::move(said)));
  }
}

// A tin with what its nature and the papers on it name; what else is in it stays open unless one of
// the papers is a complete ingredient list.
void list_tin(const PieceContents& piece, const Tin& tin, std::span<const Allergen> allergens,
              Answer& out) {
  out.because.push_back(because(
      tin.entry,
      about_tin("tin",
                fmt::format("{}{}{}.", name_of(tin), tin.kind.empty() ? "" : " (" + tin.kind + ")",
                            origin_of(tin.supplier, tin.lot)),
                tin)));
  std::vector<Because> way;
  add_way(piece, tin, way);
  for (Because& step : way)
    if (step.key != "received") out.because.push_back(std::move(step));
  if (const std::string nature = names_of(tin.contains, allergens); !nature.empty())
    out.because.push_back(because(
        0, about_tin("tin-nature",
                     fmt::format("{} holds {} by the nature of its kind.", name_of(tin), nature),
                     tin, tin.contains)));
  bool complete = false;
  for (const Statement& s : piece.statements) {
    if (!is_about(s, tin)) continue;
    complete = complete || (s.complete && s.about == "ingredients");
    std::vector<std::string> named = s.ingredients;
    if (named.empty() && !s.contains.empty()) named = {names_of(s.contains, allergens)};
    if (named.empty()) continue;
    Sentence said =
        about_paper(s.ingredients.empty() ? "paper-names" : "paper-lists",
                    fmt::format("{} names {}.", capital(title_of(s, tin)), join_words(named)), s,
                    tin, s.ingredients.empty() ? s.contains : std::vector<std::string>{});
    if (!s.ingredients.empty()) said.values["ingredients"] = join(s.ingredients, ", ");
    out.because.push_back(because(s.entry, std::move(said)));
  }
  if (!complete)
    out.missing.push_back(about_tin(
        "want-list",
        fmt::format("a complete ingredient list of {}: ask {}", name_of(tin), whom_to_ask(tin)),
        tin));
}

void list_owner(const PieceContents& piece, Answer& out) {
  for (const Turn& back : piece.returns) {
    const std::string day = iso(local_day(back.at));
    if (back.owner_applied.empty() && !back.unused)
      out.missing.push_back(
          sentence("want-owner",
                   fmt::format("what its owner put on it until it came back (entry {}): ask who "
                               "had it",
                               back.entry),
                   {{"day", day}}));
    else if (back.owner_applied == "nothing")
      out.because.push_back(because(
          back.entry, sentence("owner-nothing", "Its owner put nothing on it, as was said.")));
    else if (!back.unused)
      out.because.push_back(
          because(back.entry,
                  sentence("owner-said",
                           fmt::format("Its owner put on '{}', as was said.", back.owner_applied),
                           {{"what", back.owner_applied}})));
  }
}

bool is_coated(const PieceContents& piece) {
  return std::any_of(piece.tins.begin(), piece.tins.end(),
                     [](const Tin& tin) { return tin.stock == "finish"; });
}

}  // namespace

bool is_list_topic(const std::string& about) {
  return std::find(list_topics.begin(), list_topics.end(), about) != list_topics.end();
}

Answer listed(const PieceContents& piece, const std::string& about,
              std::span<const Allergen> allergens) {
  Answer out{piece.piece, about, {}, {}, {}, {}};
  const bool all = about == "contents", wood = about == "wood";
  if (all || wood) list_wood(piece, out);
  for (const Tin& tin : piece.tins)
    if (all || tin.stock == about) list_tin(piece, tin, allergens, out);
  if (all || about == "other")
    for (const Step& part : piece.fitted) {
      out.because.push_back(because(
          part.entry,
          sentence("fitted-part", fmt::format("Fitted: {}.", part.text), {{"part", part.text}})));
      out.missing.push_back(part_missing(part));
    }
  if (all || about == "finish") list_owner(piece, out);
  if ((all || about == "glue") && !piece.glue_logged) out.missing.push_back(glue_up_missing());
  if ((all || about == "finish") && !is_coated(piece))
    out.missing.push_back(
        sentence("want-coats-of-finish",
                 "the coats, with the tins that they were made from: none is logged yet"));
  if (wood && piece.wood.empty())
    out.missing.push_back(sentence("want-wood", "the wood: no lot is recorded"));
  out.result = !out.because.empty() ? contains : !out.missing.empty() ? not_known : none_recorded;
  if (out.result == none_recorded) {
    out.because.push_back(because(
        piece.batch_entry, about == "other"
                               ? sentence("nothing-fitted", "Nothing is logged as fitted to it.")
                               : sentence("no-glue", "The batch was made without glue.")));
    out.notes.push_back(none_recorded_note());
  }
  out.because.push_back(of_batch(piece));
  if (wood) {
    add_timber_note(piece, false, out);
    add_doctor_note(out);
  }
  return out;
}

void add_unlogged(const PieceContents& piece, Answer& out) {
  if (!piece.glue_logged) {
    out.because.push_back(
        because(piece.batch_entry,
                sentence("no-glue-up", "The batch has a glue, but no glue-up is logged yet.")));
    out.missing.push_back(glue_up_missing());
  } else if (piece.tins.empty()) {
    out.because.push_back(
        because(piece.batch_entry,
                sentence("nothing-logged", "No glue and no coat is logged on the piece.")));
    out.missing.push_back(
        sentence("want-coats", "the coats, with the tins that they were made from: log them"));
  }
}

void add_fitted(const PieceContents& piece, Answer& out) {
  for (const Step& part : piece.fitted) {
    out.because.push_back(because(
        part.entry,
        sentence("fitted", fmt::format("Fitted: {}; nothing says what it holds.", part.text),
                 {{"part", part.text}})));
    out.missing.push_back(part_missing(part));
  }
}

void add_returns(const PieceContents& piece, Answer& out) {
  for (const Turn& back : piece.returns) {
    const std::string day = iso(local_day(back.at));
    if (back.unused) {
      out.because.push_back(because(
          back.entry,
          sentence("came-back-unused",
                   fmt::format("It came back on {}, unused as was said.", show(local_day(back.at))),
                   {{"day", day}})));
      continue;
    }
    out.because.push_back(because(
        back.entry,
        sentence("came-back",
                 fmt::format("It came back on {} after use: what food touched it there, nothing "
                             "tells.",
                             show(local_day(back.at))),
                 {{"day", day}})));
    out.missing.push_back(
        sentence("want-use",
                 fmt::format("what it was used for until it came back (entry {}): ask who had it",
                             back.entry),
                 {{"day", day}}));
    if (back.owner_applied == "nothing") continue;
    out.because.push_back(because(
        back.entry,
        back.owner_applied.empty()
            ? sentence("owner-unknown", "What its owner put on it is not known.")
            : sentence("owner-put-on",
                       fmt::format("Its owner put on '{}'; nothing says what else is in it.",
                                   back.owner_applied),
                       {{"what", back.owner_applied}})));
    out.missing.push_back(sentence(
        "want-owner",
        fmt::format("what its owner put on it until it came back (entry {}): ask who had it",
                    back.entry),
        {{"day", day}}));
  }
}

void add_timber_note(const PieceContents& piece, bool nut, Answer& out) {
  if (piece.wood.empty()) return;
  const std::string woods = join_words(wood_names(piece));
  std::vector<std::string> species, families;
  for (const WoodLot& lot : piece.wood) {
    species.push_back(lot.species);
    if (const auto family = piece.nut_family.find(lot.species); family != piece.nut_family.end())
      families.push_back(fmt::format("{} is of the family of {}",
                                     lot.common_name.substr(0, lot.common_name.find(" (")),
                                     family->second));
  }
  std::string text = fmt::format("The timber stands on a line of its own: {}. ", woods);
  if (nut && !families.empty()) text += join_words(families) + ". ";
  text +=
      "Whether timber matters to an allergy this record cannot tell, above all where the tree is "
      "of "
      "a nut's family: ask a doctor.";
  out.notes.push_back(sentence(nut && !families.empty() ? "timber-of-nut" : "timber", text,
                               {{"woods", woods}, {"species", join(species, ",")}}));
}

void add_withdrawn_notes(const PieceContents& piece, Answer& out) {
  for (const auto& [name, word] : piece.withdrawn)
    out.notes.push_back(sentence(
        "withdrawn", fmt::format("{} is withdrawn (entry {}): {}.", name, word.entry, word.why),
        {{"what", name}, {"why", word.why}}));
}

void add_doctor_note(Answer& out) {
  out.notes.push_back(
      sentence("ask-doctor", "A maker's record is no medical advice; ask a doctor."));
}

}  // namespace trencher::engine
