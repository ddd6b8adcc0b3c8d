#include "commands/claims.h"

#include "commands/contents.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

std::string names(const std::vector<std::string>& all) {
  return all.empty() ? "none" : join_words(all);
}

bool is_in_words(const std::string& topic) {
  return topic == "use" || topic == "size" || topic == "wood" || topic == "glue" ||
         topic == "finish" || topic == "other";
}

Claim claim_of(Call& call, const BatchView& view, int piece) {
  Claim out;
  out.food_contact = food_contact_day(call, dates_of(view, {piece}, call.now()), out.guessed);
  const engine::PieceContents contents =
      contents_of(call, view, piece, PieceCode{{}, piece}.text());
  std::vector<std::string> woods;
  for (const WoodLot& lot : contents.wood)
    woods.push_back(lot.common_name.empty() ? lot.species : lot.common_name);
  out.said["wood"] = names(woods);
  for (const char* stock : {"glue", "finish", "other"}) {
    std::vector<std::string> tins;
    for (const Tin& tin : contents.tins)
      if (tin.stock == stock) tins.push_back(tin.id + " " + tin.name);
    if (stock == std::string("other"))
      for (const Step& part : contents.fitted) tins.push_back(part.text);
    out.said[stock] = names(tins);
  }
  out.said["use"] = view.batch().use;
  out.said["size"] = show(view.batch().size, Units::metric);
  out.said.merge(all_answers(contents));
  return out;
}

}  // namespace

std::vector<std::int64_t> entries_naming(const BatchView& view, int piece) {
  std::vector<std::int64_t> out;
  for (const Step& step : view.facts.work.steps)
    if (names_piece(step.pieces, piece)) out.push_back(step.entry);
  for (const Turn& turn : view.facts.work.turns)
    if (names_piece(turn.pieces, piece)) out.push_back(turn.entry);
  return out;
}

std::map<int, Claim> claims_of(Call& call, const BatchView& view, const std::vector<int>& pieces) {
  std::map<std::vector<std::int64_t>, Claim> known;  // by the entries that name the piece
  std::map<int, Claim> out;
  for (const int piece : pieces) {
    const std::vector<std::int64_t> entries = entries_naming(view, piece);
    const auto found = known.find(entries);
    out[piece] = found != known.end()
                     ? found->second
                     : known.emplace(entries, claim_of(call, view, piece)).first->second;
  }
  return out;
}

const PrintedCard* card_of(const std::vector<PrintedCard>& cards, const book::PieceState& piece) {
  const PrintedCard* out = nullptr;
  for (const PrintedCard& card : cards)
    if (names_piece(card.pieces, piece.number) && card.entry > piece.turn.value_or(0)) out = &card;
  return out;
}

void lay_claim(const Claim& claim, PrintedCard& card) {
  card.food_contact = claim.food_contact;
  card.guessed = claim.guessed;
  for (const auto& [topic, said] : claim.said)
    if (is_in_words(topic))
      card.words[topic] = said;
    else if (said == engine::contains)
      card.contains.push_back(topic);
    else if (said == engine::none_recorded)
      card.none_recorded.push_back(topic);
}

bool says_otherwise(const PrintedCard& card, const Claim& claim) {
  if (card.food_contact != claim.food_contact) return true;
  if (card.words.empty()) return false;  // of the first version, which kept no more
  PrintedCard now;
  lay_claim(claim, now);
  return card.words != now.words || card.contains != now.contains ||
         card.none_recorded != now.none_recorded;
}

const KeptAnswer* latest_answer(const std::vector<KeptAnswer>& answers, int piece) {
  const KeptAnswer* out = nullptr;
  for (const KeptAnswer& answer : answers)
    if (names_piece(answer.pieces, piece)) out = &answer;
  return out;
}

void lay_claim(const Claim& claim, KeptAnswer& answer) {
  for (const auto& [topic, said] : claim.said)
    if (topic == "wood-dust")
      continue;  // the woods themselves stand in words
    else if (is_in_words(topic))
      answer.words[topic] = said;
    else if (said == engine::contains)
      answer.contains.push_back(topic);
    else if (said == engine::none_recorded)
      answer.none_recorded.push_back(topic);
    else
      answer.not_known.push_back(topic);
}

std::vector<MadeWrong::Change> changes(const KeptAnswer& answer, const Claim& now) {
  std::vector<MadeWrong::Change> out;
  const auto compare = [&](const std::string& topic, const std::string& before) {
    if (const auto said = now.said.find(topic); said != now.said.end() && said->second != before)
      out.push_back({topic, before, said->second});
  };
  for (const auto& [topic, said] : answer.words) compare(topic, said);
  for (const std::string& topic : answer.contains) compare(topic, engine::contains);
  for (const std::string& topic : answer.none_recorded) compare(topic, engine::none_recorded);
  for (const std::string& topic : answer.not_known) compare(topic, engine::not_known);
  return out;
}

bool says_otherwise(const KeptAnswer& answer, const Claim& claim) {
  return !changes(answer, claim).empty();
}

std::vector<MadeWrong::Change> changes(const Claim& before, const Claim& now) {
  std::vector<MadeWrong::Change> out;
  if (before.food_contact != now.food_contact)
    out.push_back({engine::food_contact, day_words(before.food_contact, before.guessed),
                   day_words(now.food_contact, now.guessed)});
  for (const auto& [about, said] : before.said)
    if (const auto other = now.said.find(about); other != now.said.end() && other->second != said)
      out.push_back({about, said, other->second});
  return out;
}

std::string day_words(const std::optional<Day>& day, bool guessed) {
  return !day ? "not known" : show(*day) + (guessed ? " (guessed)" : "");
}

}  // namespace trencher::commands
