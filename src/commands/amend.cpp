#include "commands/amend.h"

#include <fmt/format.h>

#include <algorithm>
#include <map>

#include "book/kinds.h"
#include "book/rebuild_watch.h"
#include "commands/choosing.h"
#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"
#include "engine/evidence.h"
#include "reference/reference.h"

namespace trencher::commands {
void parse_amendment(Call& call, std::string& entry, std::string& why) {
  call.word("ENTRY", entry, "number of the entry");
  call.option("--why", "TEXT", why, "the reason, kept with it");
  call.parse();
  call.need(entry, "ENTRY",
            Question("Which entry", [&] { return entries_to_choose(call); }).others());
  call.need(why, "--why", "Why");
  why = checked_text(why, "--why");
}

book::Effective need_entry(Call& call, const std::string& typed) {
  const std::int64_t last = call.book().entry_count();
  const std::int64_t number = parse_count(typed, "Entry", 1, 999'999'999);
  auto found = book::effective_entry(call.book(), number);
  if (!found && number < last)
    throw Error::request(fmt::format("Entry {} is lost: what it said is not known.", number));
  if (!found)
    throw Error::request(fmt::format("There is no entry {}; the last is {}.", number, last));
  return std::move(*found);
}

Reach::Reach(Call& call, const std::vector<std::string>& batches) {
  for (const std::string& batch : batches) {
    if (!book::find_batch(call.book(), batch)) continue;
    const std::vector<PrintedCard> cards = book::cards_of(call.book(), batch);
    const std::vector<KeptAnswer> answers = book::answers_of(call.book(), batch);
    Before before{batch, {}, {}};
    std::vector<int> numbers;
    for (const book::PieceState& piece : book::pieces_of(call.book(), batch)) {
      const bool told = card_of(cards, piece) || latest_answer(answers, piece.number);
      if (piece.scrapped || !(piece.signed_off || piece.given || told)) continue;
      before.pieces.push_back(piece);
      numbers.push_back(piece.number);
    }
    if (numbers.empty()) continue;
    before.claims = claims_of(call, view_batch(call, batch), numbers);
    before_.push_back(std::move(before));
  }
}

std::int64_t Reach::append(Call& call, book::Writing& writing, std::string_view kind, Json body,
                           const book::Stamp& stamp) {
  Progress progress = call.progress("going through the book anew");
  const book::RebuildWatch watch(call.book(), [&](std::int64_t done, std::int64_t of) {
    progress.at(static_cast<std::uint64_t>(done), static_cast<std::uint64_t>(of));
  });
  if (!before_.empty()) {
    progress.stretch(0, 0.5);
    writing.rehearse([&] {
      writing.append(kind, body, stamp);
      compare(call);
    });
    Json rows = Json::array();
    for (const MadeWrong& wrong : wrong_) rows.push(wrong.json());
    if (!wrong_.empty()) body.set("affected", std::move(rows));
    progress.stretch(0.5, 1);
  }
  return writing.append(kind, body, stamp);
}

void Reach::compare(Call& call) {
  wrong_.clear();
  passed_by_.clear();
  for (const Before& before : before_)
    if (book::find_batch(call.book(), before.batch)) compare_batch(call, before);
}

void Reach::compare_batch(Call& call, const Before& before) {
  std::vector<int> numbers;
  for (const book::PieceState& piece : before.pieces) numbers.push_back(piece.number);
  const std::map<int, Claim> now = claims_of(call, view_batch(call, before.batch), numbers);
  const std::vector<PrintedCard> cards = book::cards_of(call.book(), before.batch);
  const std::vector<KeptAnswer> answers = book::answers_of(call.book(), before.batch);
  std::vector<MadeWrong> rows;  // one for each set of changes
  for (const book::PieceState& piece : before.pieces) {
    const Claim &was = before.claims.at(piece.number), &is = now.at(piece.number);
    const std::vector<MadeWrong::Change> changed = changes(was, is);
    const bool reopened =
        piece.signed_off && !piece.given && !book::find_piece(call.book(), piece.code)->signed_off;
    // A date that only moves earlier makes nothing that is out of the house wrong.
    const bool only_earlier = changed.size() == 1 &&
                              changed.front().about == engine::food_contact && is.food_contact &&
                              was.food_contact && *is.food_contact < *was.food_contact;
    if (!reopened && changed.empty()) continue;
    auto row = std::find_if(rows.begin(), rows.end(),
                            [&](const MadeWrong& other) { return other.changes == changed; });
    if (row == rows.end()) {
      rows.push_back({before.batch, changed, {}, {}, {}, {}, {}, {}, {}});
      row = rows.end() - 1;
    }
    const auto add = [](std::vector<std::int64_t>& list, std::int64_t entry) {
      if (std::find(list.begin(), list.end(), entry) == list.end()) list.push_back(entry);
    };
    if (reopened) row->sign_off.push_back(piece.number);
    if (changed.empty()) continue;
    if (piece.given && !only_earlier) {
      row->left.push_back(piece.number);
      add(row->gifts, *piece.given);
    }
    // Only what was right until now is made wrong by this.
    if (const KeptAnswer* answer = latest_answer(answers, piece.number);
        answer && !says_otherwise(*answer, was) && says_otherwise(*answer, is)) {
      row->answer.push_back(piece.number);
      add(row->answers, answer->entry);
    }
    const PrintedCard* card = card_of(cards, piece);
    // One that left is told of as a whole, its card with it.
    if (!card || piece.given || !(card->words.empty() || says_otherwise(*card, is))) continue;
    add(row->cards, card->entry);
    row->card.push_back(piece.number);
  }
  wrong_.insert(wrong_.end(), rows.begin(), rows.end());
  find_passed(call, before, now);
}

void Reach::find_passed(Call& call, const Before& before, const std::map<int, Claim>& now) {
  const auto moved_later = [&](int piece) {
    const auto &was = before.claims.at(piece).food_contact, &is = now.at(piece).food_contact;
    return was != is && !(is && was && *is < *was);
  };
  const auto report = [&](std::int64_t entry, const char* what, const Moment& at,
                          const std::vector<int>& pieces) {
    const Day day = local_day(at);
    for (const auto& [piece, claim] : now) {
      if (!names_piece(pieces, piece) || !moved_later(piece)) continue;
      const auto &was = before.claims.at(piece).food_contact, &is = claim.food_contact;
      if ((was && *was > day) || (is && *is <= day)) continue;
      passed_by_.push_back(
          {"late-reading", "suitability", engine::Result::stop, fmt::format("entry {}", entry),
           fmt::format("First food contact of {} moves to {}, after the {} of {} (entry {}).",
                       before.batch, is ? show(*is) : "a day that is not known", what, show(at),
                       entry),
           "ours"});
      return;
    }
  };
  for (const PrintedCard& card : book::cards_of(call.book(), before.batch))
    for (const auto& [piece, claim] : now)
      if (names_piece(card.pieces, piece) && moved_later(piece) &&
          card.food_contact != claim.food_contact) {
        passed_by_.push_back(
            {"late-reading", "suitability", engine::Result::caution,
             fmt::format("entry {}", card.entry),
             fmt::format("The card of entry {} carries another date of first food contact; print "
                         "it anew.",
                         card.entry),
             "ours"});
        break;
      }
  for (const SignOff& sign_off : book::sign_offs_of(call.book(), before.batch))
    report(sign_off.entry, "sign-off", sign_off.at, sign_off.pieces);
  for (const Gift& gift : book::gifts_of(call.book(), before.batch))
    report(gift.entry, "gift or sale", gift.at, gift.pieces);
}

Json Reach::affected(Call& call) const {
  Json out = Json::array();
  for (const MadeWrong& wrong : wrong_) {
    Json row = wrong.json();
    row.set("reopened", Json::list(book::piece_codes(wrong.batch, wrong.sign_off)));
    row.set("given", Json::list(book::piece_codes(wrong.batch, wrong.left)));
    Json cards = Json::array();
    for (const std::int64_t entry : wrong.cards) {
      const PrintedCard card = PrintedCard::read(book::effective_entry(call.book(), entry)->body);
      cards.push(Json::object()
                     .set("entry", entry)
                     .set("says", card.food_contact ? Json(iso(*card.food_contact)) : Json()));
    }
    row.set("cards", std::move(cards));
    row.set("answered", Json::list(book::piece_codes(wrong.batch, wrong.answer)));
    out.push(std::move(row));
  }
  return out;
}

void Reach::say(Call& call, std::int64_t entry) const {
  bool to_do = false;
  for (const MadeWrong& wrong : wrong_) {
    for (const std::string& words : words_of_changes(wrong.changes))
      call.say_list("Changes:", fmt::format("{}, {}.", wrong.batch, words));
    if (!wrong.sign_off.empty())
      call.say_list("Reopened:",
                    fmt::format("the sign-off of {}; sign off anew.",
                                join_words(book::piece_codes(wrong.batch, wrong.sign_off))));
    if (!wrong.card.empty())
      call.say_list("Card:", fmt::format("entry {} says otherwise of {}; print anew.",
                                         join_numbers(wrong.cards),
                                         join_words(book::piece_codes(wrong.batch, wrong.card))));
    if (!wrong.left.empty())
      call.say_list("Have left:",
                    fmt::format("{}; tell who has them, then 'trencher dealt {}'.",
                                join_words(book::piece_codes(wrong.batch, wrong.left)), entry));
    if (!wrong.answer.empty())
      call.say_list("Answered:",
                    fmt::format("entry {} says otherwise of {}; answer anew whoever asked, with "
                                "'trencher answer … --keep'.",
                                join_numbers(wrong.answers),
                                join_words(book::piece_codes(wrong.batch, wrong.answer))));
    to_do = to_do || !(wrong.sign_off.empty() && wrong.card.empty() && wrong.left.empty() &&
                       wrong.answer.empty());
  }
  if (to_do) call.say("'trencher due' lists it until it is dealt with.");
}

std::string join_numbers(const std::vector<std::int64_t>& numbers) {
  std::vector<std::string> out;
  for (const std::int64_t number : numbers) out.push_back(std::to_string(number));
  return join_words(out);
}

std::string change_words(const MadeWrong::Change& change) {
  const std::string about =
      change.about == engine::food_contact ? "first food contact" : allergen_name(change.about);
  return fmt::format("{}: {} → {}", about, change.before, change.now);
}

std::vector<std::string> words_of_changes(std::vector<MadeWrong::Change> changes) {
  const auto rank = [](const MadeWrong::Change& change) {
    return change.now == engine::contains           ? 0
           : change.about == engine::food_contact   ? 1
           : reference::find_allergen(change.about) ? 3
                                                    : 2;
  };
  std::stable_sort(changes.begin(), changes.end(),
                   [&](const auto& a, const auto& b) { return rank(a) < rank(b); });
  constexpr std::size_t most_named = 4;
  std::vector<std::string> out;
  std::map<std::pair<std::string, std::string>, std::vector<std::string>> alike;
  for (const MadeWrong::Change& change : changes)
    if (rank(change) < 3)
      out.push_back(change_words(change));
    else
      alike[{change.before, change.now}].push_back(allergen_name(change.about));
  for (auto& [answers, names] : alike) {
    const std::size_t more = names.size() > most_named ? names.size() - most_named : 0;
    names.resize(names.size() - more);
    if (more) names.push_back(fmt::format("{} more", more));
    out.push_back(fmt::format("{}: {} → {}", join_words(names), answers.first, answers.second));
  }
  return out;
}

void demand_nothing_vanishes(Call& call, std::int64_t number, const Json* body) {
  const auto vanishing = book::would_vanish(call.book(), number, body);
  if (vanishing.empty()) return;
  const book::Vanishing& first = vanishing.front();
  if (const bool who = first.id.starts_with("worker:"); who || first.needed_by == number)
    throw Error::request(fmt::format(
        "Entry {} says {}, so it cannot be struck; 'trencher {}' enters what has changed.", number,
        who ? "who writes" : "whose book this is", who ? "worker" : "workshop"));
  std::string made = first.id;
  if (constexpr std::string_view place = "place:"; made.starts_with(place))
    made.replace(0, place.size(), "the place ");
  throw Error::request(
      fmt::format("Entry {} made {}, of which entry {} speaks; it cannot vanish. Strike or correct "
                  "that entry first.",
                  number, made, first.needed_by));
}

}  // namespace trencher::commands
