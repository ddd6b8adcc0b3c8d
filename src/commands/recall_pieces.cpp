#include "commands/recall_pieces.h"

#include <fmt/format.h>

#include <algorithm>
#include <array>
#include <tuple>

#include "commands/people.h"
#include "commands/shop.h"

namespace trencher::commands {
namespace {

// From the most to be done to the least.
constexpr std::array ranks{"unknown person", "stranger", "not yet told", "no-answer", "reached",
                           "here",           "returned", "destroyed",    "scrapped"};

std::size_t rank_of(const std::string& state) {
  return static_cast<std::size_t>(std::find(ranks.begin(), ranks.end(), state) - ranks.begin());
}

// What several pieces of one batch ask of the book, asked once.
struct OfBatch {
  Batch batch;
  std::vector<Gift> gifts;
  std::vector<Turn> turns;
  std::vector<Step> steps;
  std::vector<SignOff> sign_offs;
  std::vector<book::PieceState> pieces;
};

OfBatch read_batch(Call& call, const std::string& code) {
  const book::Book& book = call.book();
  return {*book::find_batch(book, code),  book::gifts_of(book, code),
          book::turns_of(book, code),     book::steps_of(book, code),
          book::sign_offs_of(book, code), book::pieces_of(book, code)};
}

std::optional<Moment> taken_back_after(const OfBatch& of, int piece, const Gift& gift) {
  for (const Turn& turn : of.turns)  // by when they happened
    if (turn.kind == Turn::Kind::take_back && names_piece(turn.pieces, piece) &&
        std::pair(turn.at.at, turn.entry) > std::pair(gift.at.at, gift.entry))
      return turn.at;
  return {};
}

void lay_holdings(const OfBatch& of, const book::PieceState& state, RecalledPiece& out) {
  Instant first = out.piece.touches.front().at.at;
  for (const Touch& touch : out.piece.touches) first = std::min(first, touch.at.at);
  for (const Gift& gift : of.gifts) {
    if (!names_piece(gift.pieces, state.number)) continue;
    if (state.given == gift.entry) {
      out.now = Holding{gift, {}};
      continue;
    }
    const auto until = taken_back_after(of, state.number, gift);
    if (!until || until->at > first) out.before.push_back({gift, until});
  }
  out.back = state.here() && std::any_of(of.turns.begin(), of.turns.end(), [&](const Turn& turn) {
               return turn.kind == Turn::Kind::take_back && names_piece(turn.pieces, state.number);
             });
}

bool came_back_since(const OfBatch& of, int piece, Instant since) {
  return std::any_of(of.turns.begin(), of.turns.end(), [&](const Turn& turn) {
    return turn.kind == Turn::Kind::take_back && names_piece(turn.pieces, piece) &&
           turn.at.at >= since;
  });
}

const RecallStep* last_step(const std::vector<RecallStep>& steps, const RecalledPiece& piece) {
  const RecallStep* out = nullptr;
  for (const RecallStep& step : steps) {
    if (step.batch != piece.piece.batch || !names_piece(step.pieces, piece.piece.number)) continue;
    if (out && out->state == "destroyed") continue;  // nothing comes after that
    if (!out || step.state == "destroyed" ||
        std::pair(step.at.at, step.entry) > std::pair(out->at.at, out->entry))
      out = &step;
  }
  return out;
}

// For one withdrawal; null: a trial.
void lay_state(Call& call, const OfBatch& of, const Withdrawal* word,
               const std::vector<RecallStep>& steps, RecalledPiece& piece) {
  std::string state;
  const RecallStep* step = last_step(steps, piece);
  if (piece.piece.scrapped)
    state = "scrapped";
  else if (step && step->state == "destroyed")
    state = "destroyed";
  else if (!piece.piece.left)
    state = word && came_back_since(of, piece.piece.number, word->at.at) ? "returned" : "here";
  else if (step)
    state = step->state;
  else if (piece.now && piece.now->gift.is_to_stranger())
    state = "stranger";
  else
    state =
        piece.now && call.book().person(piece.now->gift.person) ? "not yet told" : "unknown person";
  // Of several words, the one that asks most to be done.
  if (!piece.state.empty() && rank_of(piece.state) <= rank_of(state)) return;
  piece.state = state;
  piece.told = step && step->state == state ? std::optional(*step) : std::nullopt;
}

bool touches(const RecalledPiece& piece, const Withdrawal& word) {
  return std::any_of(piece.piece.touches.begin(), piece.piece.touches.end(), [&](const Touch& t) {
    return std::find(word.ids.begin(), word.ids.end(), t.id) != word.ids.end();
  });
}

void lay_dates(const OfBatch& of, const book::PieceState& state, RecalledPiece& out) {
  for (const Step& step : of.steps)
    if (step.kind == "coat" && names_piece(step.pieces, state.number)) out.finished = step.at;
  for (const SignOff& sign_off : of.sign_offs)
    if (state.signed_off == sign_off.entry) out.signed_off = sign_off.at;
}

}  // namespace

std::string RecalledPiece::whereabouts() const {
  if (piece.scrapped) return "scrapped";
  if (now) return now->gift.as;
  return back ? "taken back" : "here";
}

std::vector<RecalledPiece> recalled_pieces(Call& call, const RecallScope& scope) {
  std::map<std::int64_t, std::vector<RecallStep>> steps;
  for (const Withdrawal& word : scope.words)
    steps[word.entry] = book::recall_steps_of(call.book(), word.entry);
  std::map<std::string, OfBatch> batches;
  std::vector<RecalledPiece> out;
  for (TouchedPiece& touched : pieces_touched(call, scope.ids)) {
    if (!batches.contains(touched.batch))
      batches.emplace(touched.batch, read_batch(call, touched.batch));
    const OfBatch& of = batches.at(touched.batch);
    const book::PieceState& state = of.pieces[static_cast<std::size_t>(touched.number - 1)];
    RecalledPiece piece;
    piece.piece = std::move(touched);
    piece.batch = of.batch;
    lay_dates(of, state, piece);
    lay_holdings(of, state, piece);
    for (const Withdrawal& word : scope.words)
      if (touches(piece, word)) lay_state(call, of, &word, steps[word.entry], piece);
    if (scope.words.empty()) lay_state(call, of, nullptr, {}, piece);
    out.push_back(std::move(piece));
  }
  return out;
}

std::vector<RecalledPerson> recalled_people(Call& call, const std::vector<RecalledPiece>& pieces) {
  std::map<std::string, RecalledPerson> people;
  const auto of = [&](const Gift& gift) -> RecalledPerson& {
    RecalledPerson& person =
        people[gift.is_to_stranger() ? stranger_words(gift.event) : gift.person];
    if (gift.is_to_stranger()) {
      person.stranger = stranger_words(gift.event);
    } else if (person.id.empty()) {
      person.id = gift.person;
      person.person = call.book().person(gift.person);
    }
    person.markets.insert(gift.market);
    return person;
  };
  for (const RecalledPiece& piece : pieces) {
    if (piece.now) of(piece.now->gift).now.push_back(&piece);
    for (const Holding& holding : piece.before) {
      RecalledPerson& person = of(holding.gift);
      const auto has = [&](const auto& list) {
        return std::find(list.begin(), list.end(), &piece) != list.end();
      };
      if (!has(person.now) && !has(person.before)) person.before.push_back(&piece);
    }
  }
  std::vector<RecalledPerson> out;
  for (auto& [id, person] : people) out.push_back(std::move(person));
  const auto key = [](const RecalledPerson& p) {
    const RecalledPiece* first = p.now.empty() ? p.before.front() : p.now.front();
    return std::tuple(!p.stranger.empty(), p.stranger, !p.person, p.person ? p.person->name : "",
                      p.person ? p.person->contact : "", first->piece.code);
  };
  std::sort(out.begin(), out.end(),
            [&](const RecalledPerson& a, const RecalledPerson& b) { return key(a) < key(b); });
  return out;
}

int RecallNumbers::of_state(const std::string& state) const {
  const auto found = states.find(state);
  return found == states.end() ? 0 : found->second;
}

int RecallNumbers::of_whereabouts(const std::string& where) const {
  const auto found = whereabouts.find(where);
  return found == whereabouts.end() ? 0 : found->second;
}

int RecallNumbers::settled() const {
  return of_state("here") + of_state("returned") + of_state("scrapped") + of_state("destroyed") +
         of_state("reached");
}

RecallNumbers numbers_of(Call& call, const std::vector<RecalledPiece>& pieces) {
  RecallNumbers out;
  for (const RecalledPiece& piece : pieces) {
    ++out.pieces;
    ++out.states[piece.state];
    ++out.whereabouts[piece.whereabouts()];
    if (!piece.now || piece.state == "scrapped" || piece.state == "destroyed") continue;
    ++out.left;
    if (piece.now->gift.is_to_stranger()) {
      ++out.strangers;
      continue;
    }
    const auto person = call.book().person(piece.now->gift.person);
    ++(!person ? out.forgotten : person->contact.empty() ? out.without_contact : out.with_contact);
  }
  return out;
}

std::string share_words(int part, int whole) {
  if (whole == 0) return "0 of 0";
  const int tenths = part * 1000 / whole;
  return fmt::format("{} of {} ({}.{} %)", part, whole, tenths / 10, tenths % 10);
}

Json share_json(int part, int whole) {
  if (whole == 0) return {};
  return Json::decimal(part * 1000 / whole / 10.0, 1);  // NOLINT(bugprone-integer-division): floor
}

}  // namespace trencher::commands
