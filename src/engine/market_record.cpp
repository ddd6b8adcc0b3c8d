// What the record holds of the work, of where the boards came from and where they went.
#include <fmt/format.h>

#include <algorithm>

#include "domain/code.h"
#include "domain/text.h"
#include "engine/market_checks.h"
#include "engine/suitability_checks.h"

namespace trencher::engine::rules {
namespace {

// Which of supplier and lot nobody wrote down; empty: neither.
std::string unnamed(const std::string& supplier, const std::string& lot) {
  if (supplier.empty() && lot.empty()) return "supplier and lot";
  return supplier.empty() ? "supplier" : lot.empty() ? "lot" : "";
}

// The latest of that kind on a piece; null: none.
const Step* last_step(const MarketFacts& facts, std::string_view kind, int piece) {
  const Step* out = nullptr;
  for (const Step& step : facts.made.work.steps)
    if (step.kind == kind && names_piece(step.pieces, piece)) out = &step;
  return out;
}

// The year at whose end a record need be kept no longer: counted from the end of the year in which
// the last board left, so that it is never shorter than the years from that day.
int last_year_of(const Gift& last, int years) { return int(local_day(last.at).year()) + years; }

const Gift* last_gift(const MarketFacts& facts) {
  const auto last =
      std::max_element(facts.gifts.begin(), facts.gifts.end(),
                       [](const Gift& a, const Gift& b) { return a.at.at < b.at.at; });
  return last == facts.gifts.end() ? nullptr : &*last;
}

}  // namespace

Outcomes traceable_back(const MarketFacts& facts, const Rule&) {
  Outcome out{Result::held, "", "", {}};
  std::vector<std::string> gaps, sources;
  for (const WoodLot& lot : facts.made.wood) {
    out.entries.push_back(lot.entry);
    if (lot.from_customer)
      gaps.push_back(lot.id + " is a customer's own wood");
    else if (const std::string what = unnamed(lot.supplier, lot.lot); !what.empty())
      gaps.push_back(fmt::format("{} has no {}", lot.id, what));
    sources.push_back(lot.id);
  }
  for (const char* stock : {"glue", "finish", "other"})
    for (const Tin* tin : checks::tins_of(facts.made.work, stock)) {
      out.entries.push_back(tin->entry);
      if (const std::string what = unnamed(tin->supplier, tin->lot); !what.empty())
        gaps.push_back(fmt::format("{} has no {}", tin->id, what));
      sources.push_back(tin->id);
    }
  for (const Step& step : facts.made.work.steps)
    if (step.kind == "fit" && step.drawn.empty())
      gaps.push_back(
          fmt::format("what was fitted in entry {} came from no recorded tin", step.entry));
  if (sources.empty())
    return {{Result::not_known, "", "Neither wood nor tin is recorded of it.", {}}};
  if (!gaps.empty()) {
    out.result = Result::not_held;
    out.reason = fmt::format("Not traced to a supplier: {}.", join(gaps, "; "));
  } else {
    out.reason = fmt::format("Supplier and lot are recorded of {}.", join_words(sources));
  }
  return {out};
}

Outcomes traceable_forward(const MarketFacts& facts, const Rule&) {
  Outcome out{Result::held, "", "", {}};
  if (facts.gifts.empty())
    return {
        {Result::not_known, "", "None has left yet; 'trencher give' keeps where each goes.", {}}};
  std::vector<int> named, strangers, forgotten, lost;
  for (const Gift& gift : facts.gifts) {
    note(out.entries, gift.entry);
    const bool stranger = gift.person.empty();
    const bool gone = !stranger && facts.forgotten.contains(gift.person);
    // Whom a law wants traced are businesses.
    auto& list = gift.food_business && (gone || stranger) ? lost
                 : gone                                   ? forgotten
                 : stranger                               ? strangers
                                                          : named;
    for (const int piece : gift.pieces)
      if (std::find(list.begin(), list.end(), piece) == list.end()) list.push_back(piece);
  }
  std::vector<std::string> said;
  const auto say = [&](std::vector<int>& pieces, const char* what) {
    std::sort(pieces.begin(), pieces.end());
    if (!pieces.empty()) said.push_back(fmt::format("{}: {}", name_pieces(pieces), what));
  };
  say(named, "to whom is recorded");
  say(strangers, "to strangers, with day and place alone; a notice at the stall reaches them");
  say(forgotten, "to somebody whose name is no longer in the book, recorded as no food business");
  say(lost, "to a food business whose name is not recorded");
  if (!forgotten.empty()) out.result = Result::yours;
  if (!lost.empty()) out.result = Result::not_held;
  out.reason = fmt::format("Left: {}.", join(said, "; "));
  return {out};
}

Outcomes batch_documented(const MarketFacts& facts, const Rule&) {
  if (facts.pieces.empty()) return {all_scrapped()};
  Outcome out{Result::held, "", "", {facts.made.work.batch.entry}};
  std::vector<std::string> missing;
  const auto lacks = [&](const std::vector<int>& pieces, const char* what) {
    if (!pieces.empty()) missing.push_back(fmt::format("{} of {}", what, name_pieces(pieces)));
  };
  const auto need = [&](const char* kind, const char* what) {
    std::vector<int> without;
    for (const int piece : facts.pieces)
      if (const Step* step = last_step(facts, kind, piece))
        note(out.entries, step->entry);
      else
        without.push_back(piece);
    lacks(without, what);
  };
  if (!facts.made.work.batch.glue.empty()) need("glue-up", "glue-up");
  need("coat", "coat");
  need("inspect", "inspection");
  std::vector<int> open = facts.pieces;
  std::erase_if(open, [&](int piece) {
    return std::find(facts.signed_off.begin(), facts.signed_off.end(), piece) !=
           facts.signed_off.end();
  });
  lacks(open, "sign-off");
  for (const SignOff& sign_off : facts.sign_offs) note(out.entries, sign_off.entry);
  if (missing.empty()) {
    out.reason =
        "Materials, steps, inspection and sign-off are recorded; 'trencher record' prints them.";
  } else {
    out.result = Result::not_held;
    out.reason = fmt::format("Not recorded yet: {}.", join_words(missing));
  }
  return {out};
}

Outcomes cure_and_inspection(const MarketFacts& facts, const Rule&) {
  if (facts.pieces.empty()) return {all_scrapped()};
  Outcome out{Result::held, "", "", {}};
  std::vector<int> unseen, unsound;
  std::string found;
  for (const int piece : facts.pieces) {
    const Step* coat = last_step(facts, "coat", piece);
    const Step* look = last_step(facts, "inspect", piece);
    for (const Step* step : {coat, look})
      if (step) note(out.entries, step->entry);
    if (!look || (coat && look->at.at < coat->at.at))
      unseen.push_back(piece);
    else if (look->result == "not-sound")
      unsound.push_back(piece);
    else
      found = look->text;
  }
  const auto say = [&](Result result, std::string reason) {
    out.result = result;
    out.reason = std::move(reason);
    return Outcomes{out};
  };
  if (!unsound.empty())
    return say(Result::not_held,
               fmt::format("The inspection found {} not sound.", name_pieces(unsound)));
  if (!facts.food_contact)
    return say(Result::not_known, "No date of first food contact can be computed.");
  if (*facts.food_contact > facts.now)
    return say(Result::not_held,
               fmt::format("The wait to first food contact is not over{}.",
                           facts.food_contact_guessed ? ", and its end is guessed" : ""));
  if (!unseen.empty())
    return say(Result::not_held, fmt::format("No inspection is logged after the last coat of {}.",
                                             name_pieces(unseen)));
  if (facts.food_contact_guessed)
    return say(Result::not_known,
               "The wait to first food contact is over by conditions that are partly guessed.");
  return say(
      Result::held,
      fmt::format("The wait to first food contact is over, and an inspection found all of it "
                  "sound{}.",
                  found.empty() ? "" : ": '" + found + "'"));
}

Outcomes records_kept(const MarketFacts& facts, const Rule& rule) {
  const int years = rule.keep_years.value_or(0);
  const Gift* last = last_gift(facts);
  if (!last)
    return {
        {Result::held,
         "",
         fmt::format("None has left yet. The book takes nothing out: keep it, and a backup, for "
                     "{} years from the day that the last one leaves.",
                     years),
         {facts.made.work.batch.entry}}};
  const int until = last_year_of(*last, years);
  for (const Gift& gift : facts.gifts)
    if (gift.food_business && facts.forgotten.contains(gift.person) &&
        int(facts.today.year()) <= until)
      return {{Result::not_held,
               "",
               fmt::format(
                   "The food business that got the boards of entry {} has no name in the book any "
                   "more; the trace without it is kept.",
                   gift.entry),
               {gift.entry}}};
  return {{Result::held,
           "",
           fmt::format("The book takes nothing out. The last one left on {}: keep the book, and a "
                       "backup, at least to the end of {}.",
                       show(local_day(last->at)), until),
           {last->entry}}};
}

Outcomes accident_report(const MarketFacts& facts, const Rule&) {
  Outcome out{Result::held, "", "No complaint that somebody was or could be hurt is recorded.", {}};
  for (const Complaint& complaint : facts.complaints) {
    if (complaint.severity == "flaw") continue;
    out.result = Result::yours;
    out.entries.push_back(complaint.entry);
  }
  if (out.result == Result::yours)
    out.reason =
        "A complaint says that somebody was or could be hurt. Whether it must be reported, "
        "and how soon, ask without waiting.";
  return {out};
}

Outcomes recall_notice(const MarketFacts& facts, const Rule&) {
  Outcome out{Result::held, "", "Nothing that is on it is withdrawn.", {}};
  std::vector<std::string> ids;
  for (const auto& [id, word] : facts.made.withdrawn) {
    ids.push_back(id);
    out.entries.push_back(word.entry);
  }
  if (!ids.empty()) {
    out.result = Result::yours;
    out.reason =
        fmt::format("Withdrawn: {}. 'trencher recall' prints the notices.", join_words(ids));
  }
  return {out};
}

}  // namespace trencher::engine::rules
