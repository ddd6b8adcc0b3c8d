#include <fmt/format.h>

#include <algorithm>
#include <set>

#include "commands/lookup.h"
#include "commands/losses.h"
#include "commands/markets.h"
#include "commands/recall_papers.h"
#include "commands/recall_sheets.h"
#include "domain/text.h"
#include "reference/reference.h"

namespace trencher::commands {
namespace {

constexpr std::size_t width = 78;

class Text {
 public:
  void line(const std::string& text = "") { out_ += shown(text) + "\n"; }
  void paragraph(const std::string& text) {
    for (const std::string& part : wrap(text, width)) line(part);
  }
  void item(const std::string& mark, const std::string& text) {
    const std::string indent(display_width(mark) + 1, ' ');
    bool first = true;
    for (const std::string& part : wrap(text, width - indent.size())) {
      line((first ? mark + " " : indent) + part);
      first = false;
    }
  }
  void head(const std::string& text) {
    line();
    line(text);
  }
  std::string take() { return std::move(out_); }

 private:
  std::string out_;
};

void lay_withdrawal(Call& call, const RecallCase& of, Text& text) {
  text.head(of.scope.words.empty() ? "What is looked for" : "What is withdrawn");
  for (const std::string& words : withdrawn_in_words(call, of.scope.ids)) text.item("  -", words);
  for (const Withdrawal& word : of.scope.words) {
    text.item("  -", fmt::format("entry {}, {}: {}", word.entry, show(word.at), word.why));
    if (!word.file_name.empty())
      text.item("   ",
                fmt::format("The supplier's paper is kept in the book: {}.", word.file_name));
  }
  for (const Supply& alike : of.scope.alike)
    text.item("  -", "looks alike, not among them: " + supply_words(alike));
  // Which boards a lost entry spoke of, nobody can tell.
  if (const engine::Losses losses = all_losses(call); losses.any())
    text.item("  -", losses.sentence() + " Boards that they spoke of may be concerned too.");
}

void lay_numbers(const RecallNumbers& numbers, Text& text) {
  text.head(fmt::format("Pieces: {}", numbers.pieces));
  const auto row = [&](const std::string& what, int count) {
    if (count) text.item(fmt::format("  {:<34}", what), share_words(count, numbers.pieces));
  };
  row("here, never left", numbers.of_whereabouts("here"));
  row("here, taken back", numbers.of_whereabouts("taken back"));
  row("left as gift", numbers.of_whereabouts("gift"));
  row("left as private gift", numbers.of_whereabouts("private-gift"));
  row("sold", numbers.of_whereabouts("sale"));
  row("scrapped", numbers.of_whereabouts("scrapped"));
  row("destroyed by who had them", numbers.of_state("destroyed"));
  text.item(fmt::format("  {:<34}", "with a person with contact"),
            share_words(numbers.with_contact, numbers.left));
  text.item(fmt::format("  {:<34}", "with a person without contact"),
            share_words(numbers.without_contact, numbers.left));
  text.item(fmt::format("  {:<34}", "with somebody who was forgotten"),
            share_words(numbers.forgotten, numbers.left));
  if (numbers.strangers)
    text.item(
        fmt::format("  {:<34}", "with a stranger"),
        share_words(numbers.strangers, numbers.left) + ": only the public notice reaches them");
  text.item(fmt::format("  {:<34}", "Accounted for"),
            share_words(numbers.accounted_for(), numbers.pieces) +
                ": here, scrapped, destroyed, or with somebody whose name the book has");
  text.item(fmt::format("  {:<34}", "Settled"),
            share_words(numbers.settled(), numbers.pieces) +
                ": here, back, scrapped, destroyed, or its owner reached");
}

std::string codes_of(const std::vector<const RecalledPiece*>& pieces) {
  std::vector<std::string> out;
  for (const RecalledPiece* piece : pieces) out.push_back(piece->piece.code);
  return join(out, " ");
}

std::string without_contact(Call& call, const RecalledPerson& person, const std::string& codes) {
  if (!person.stranger.empty())
    return fmt::format("{}, no name: only the public notice (shop-notice.pdf) reaches them: {}",
                       person.stranger, codes);
  return person.person ? fmt::format("{}, no contact in the book: {}", person.person->name, codes)
                       : fmt::format("{}: {}", gone_words(call, person), codes);
}

void lay_by_hand(Call& call, const RecallCase& of, Text& text) {
  text.head("Left for a person to do by hand");
  bool none = true;
  for (const RecalledPerson& person : of.people) {
    if (person.has_contact()) continue;
    none = false;
    std::vector<const RecalledPiece*> pieces = person.now;
    pieces.insert(pieces.end(), person.before.begin(), person.before.end());
    text.item("  -", without_contact(call, person, codes_of(pieces)));
  }
  if (none) text.line("  Nobody without a contact.");
  text.item(
      "  -",
      "Who had a board earlier and gave it back after it was put on is in people.csv and has a "
      "notice too. Boards are passed on: the notice asks to hand it on.");
}

void lay_duties(const RecallCase& of, Text& text) {
  std::set<std::string> markets;
  bool food_business = false;
  const auto add = [&](const Gift& gift) {
    markets.insert(gift.market);
    food_business = food_business || gift.food_business;
  };
  for (const RecalledPiece& piece : of.pieces) {
    if (piece.now) add(piece.now->gift);
    for (const Holding& holding : piece.before) add(holding.gift);
  }
  text.head("Whom else to tell, by the markets where they went");
  if (markets.empty()) text.line("  None has left.");
  std::set<std::string> said;
  for (const std::string& market : markets)
    for (const char* check : {"recall-notice", "accident-report"})
      for (const Rule& rule : reference::rules_of(market, check))
        if (said.insert(rule.key).second)
          text.item("  -",
                    fmt::format("{}, {}: {} Ask: {}. [{}: {}]", market_name(rule.market), rule.cite,
                                rule.asks, rule.ask, standing_text(rule.standing), rule.source));
  if (food_business)
    text.item("  -",
              "a business that handles food has some of them and may have to trace further "
              "[Reg. (EC) 1935/2004 art 17(2), read in German and Norwegian]");
  text.item(
      "  -",
      "And the supplier: what the boards went through may matter to others. Whether and when a "
      "duty begins depends on the danger and on how a board left; ask the authority named.");
}

}  // namespace

std::string recall_summary(Call& call, const RecallCase& of, const RecallWords& words,
                           const std::vector<engine::Finding>& findings,
                           const std::vector<std::string>& files) {
  Text text;
  text.line(std::string(words.practice ? practice_head : recall_head));
  text.paragraph(
      fmt::format("Written {} from the book of {}. Sending any of it, and to whom, is the maker's "
                  "decision; the "
                  "supplier's word, the authorities and local rules come first.",
                  show(call.zone().moment(call.now())), call.settings().maker));
  lay_withdrawal(call, of, text);
  for (const engine::Finding& finding : findings)
    text.item(fmt::format("{}:", engine::to_string(finding.result)), finding.reason);
  lay_numbers(of.numbers, text);
  lay_by_hand(call, of, text);
  lay_duties(of, text);
  text.head("Files");
  for (const std::string& file : files) text.line("  " + file);
  text.line("  summary.txt");
  return text.take();
}

}  // namespace trencher::commands
