#include "commands/amend.h"

#include <fmt/format.h>

#include "commands/shop.h"
#include "domain/error.h"
#include "domain/text.h"

namespace trencher::commands {
namespace {

std::optional<Day> food_contact_of(Call& call, const std::string& batch) {
  bool guessed = false;
  return food_contact_day(call, dates_of(view_batch(call, batch), {}, call.now()), guessed);
}

}  // namespace

void parse_amendment(Call& call, std::string& entry, std::string& why) {
  call.word("ENTRY", entry, "number of the entry");
  call.option("--why", "TEXT", why, "the reason, kept with it");
  call.parse();
  call.need(entry, "ENTRY", "Which entry");
  call.need(why, "--why", "Why");
  why = checked_text(why, "--why");
}

book::Effective need_entry(Call& call, const std::string& typed) {
  const std::int64_t last = call.book().entry_count();
  const std::int64_t number = parse_count(typed, "Entry", 1, 999'999'999);
  auto found = book::effective_entry(call.book(), number);
  if (!found)
    throw Error::request(fmt::format("There is no entry {}; the last is {}.", number, last));
  return std::move(*found);
}

Reach::Reach(Call& call, std::int64_t number) {
  for (const std::string& batch : book::batches_reached(call.book(), number))
    take_down(call, batch);
}

Reach::Reach(Call& call, std::string_view place) {
  for (const std::string& batch : book::batches_at(call.book(), place)) take_down(call, batch);
}

void Reach::take_down(Call& call, const std::string& batch) {
  if (!book::find_batch(call.book(), batch)) return;
  Before before{batch, {}, {}, {}};
  for (const book::PieceState& piece : book::pieces_of(call.book(), batch)) {
    if (piece.signed_off) before.signed_off.push_back(piece.code);
    if (piece.given) before.given.push_back(piece.code);
  }
  before.food_contact = food_contact_of(call, batch);
  before_.push_back(std::move(before));
}

std::vector<engine::Finding> Reach::passed_by(Call& call) const {
  std::vector<engine::Finding> out;
  for (const Before& before : before_) {
    if (before.signed_off.empty() && before.given.empty()) continue;
    const auto now = food_contact_of(call, before.batch);
    if (now == before.food_contact || (now && before.food_contact && *now < *before.food_contact))
      continue;
    for (const PrintedCard& card : book::cards_of(call.book(), before.batch))
      if (card.food_contact != now)
        out.push_back(
            {"late-reading", "suitability", engine::Result::caution,
             fmt::format("entry {}", card.entry),
             fmt::format("The card of entry {} carries another date of first food contact; print "
                         "it anew.",
                         card.entry),
             "ours"});
    const auto passed = [&](const Moment& at) {
      const Day day = local_day(at);
      return (!before.food_contact || *before.food_contact <= day) && (!now || *now > day);
    };
    const auto report = [&](std::int64_t entry, const char* what, const Moment& at) {
      if (!passed(at)) return;
      out.push_back(
          {"late-reading", "suitability", engine::Result::stop, fmt::format("entry {}", entry),
           fmt::format("First food contact of {} moves to {}, after the {} of {} (entry {}).",
                       before.batch, now ? show(*now) : "a day that is not known", what, show(at),
                       entry),
           "ours"});
    };
    for (const SignOff& sign_off : book::sign_offs_of(call.book(), before.batch))
      report(sign_off.entry, "sign-off", sign_off.at);
    for (const Gift& gift : book::gifts_of(call.book(), before.batch))
      report(gift.entry, "gift or sale", gift.at);
  }
  return out;
}

Json Reach::affected(Call& call) const {
  Json out = Json::array();
  const auto day = [](const std::optional<Day>& d) { return d ? Json(iso(*d)) : Json(); };
  for (const Before& before : before_) {
    Json row = Json::object().set("batch", before.batch);
    if (!book::find_batch(call.book(), before.batch)) {
      out.push(row.set("struck", true));
      continue;
    }
    std::vector<std::string> reopened;
    for (const book::PieceState& piece : book::pieces_of(call.book(), before.batch))
      if (!piece.signed_off)
        for (const std::string& code : before.signed_off)
          if (code == piece.code) reopened.push_back(code);
    const auto now = food_contact_of(call, before.batch);
    row.set("reopened", Json::list(reopened)).set("given", Json::list(before.given));
    if (now != before.food_contact) {
      row.set_or_null("food_contact_before", day(before.food_contact));
      row.set_or_null("food_contact_now", day(now));
    }
    Json cards = Json::array();
    for (const PrintedCard& card : book::cards_of(call.book(), before.batch))
      if (card.food_contact != now)
        cards.push(Json::object().set("entry", card.entry).set("says", day(card.food_contact)));
    row.set("cards", std::move(cards));
    out.push(std::move(row));
  }
  return out;
}

void Reach::say(Call& call, const Json& affected) const {
  for (const Json& row : affected.items()) {
    const std::string batch = row.text("batch");
    const auto show_day = [&](const char* name) {
      const auto text = row.maybe_text(name);
      return text ? show(*day_from_iso(*text)) : std::string("not known");
    };
    if (row.find("food_contact_before"))
      call.say_list("Changes:",
                    fmt::format("{}: first food contact was {}, now {}.", batch,
                                show_day("food_contact_before"), show_day("food_contact_now")));
    if (const auto reopened = row.texts("reopened"); !reopened.empty())
      call.say_list("Reopened:",
                    fmt::format("the sign-off of {}; sign off anew.", join_words(reopened)));
    if (const auto given = row.texts("given"); !given.empty())
      call.say_list("Have left:",
                    fmt::format("{}; tell who has them if it matters to them.", join_words(given)));
    if (const Json* cards = row.find("cards"))
      for (const Json& card : cards->items())
        call.say_list("Card:",
                      fmt::format("entry {} carries {}; print it anew.", card.integer("entry"),
                                  card.find("says") ? show(*day_from_iso(card.text("says")))
                                                    : std::string("no date")));
  }
}

void demand_nothing_vanishes(Call& call, std::int64_t number, const Json* body) {
  const auto vanishing = book::would_vanish(call.book(), number, body);
  if (vanishing.empty()) return;
  const auto& first = vanishing.front();
  throw Error::request(
      fmt::format("Entry {} made {}, of which entry {} speaks; it cannot vanish. Strike or correct "
                  "that entry first.",
                  number, first.id, first.needed_by));
}

}  // namespace trencher::commands
