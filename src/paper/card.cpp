#include "paper/card.h"

#include <stdexcept>

#include "domain/error.h"
#include "paper/card_layout.h"
#include "paper/card_text.h"
#include "paper/document.h"
#include "paper/sheet.h"

namespace trencher::paper {

namespace {

// The name of the file as PDF readers show it.
std::string title(const std::vector<Phrase>& phrases) {
  for (const Phrase& phrase : phrases)
    if (phrase.part == "document") return phrase.text;
  throw std::logic_error("The template of the care card has no document part.");
}

}  // namespace

int cards_per_sheet(Size sheet, Size card) { return plan_sheet(sheet, card).cards(); }

void write_cards(const std::vector<CardContent>& cards, const CardOptions& options,
                 const std::filesystem::path& path) {
  if (cards.empty()) throw Error::request("There is no piece to print a care card for.");
  const SheetPlan plan = plan_sheet(options.sheet, options.card);
  std::vector<std::vector<Phrase>> texts;
  for (const CardContent& card : cards) texts.push_back(card_phrases(card, options.language));

  Document document(options.sheet, title(texts.front()), options.made_at);
  for (std::size_t i = 0; i < cards.size(); ++i) {
    const int place = static_cast<int>(i) % plan.cards();
    if (place == 0) {
      document.add_page();
      for (const auto& [from, to] : cut_marks(options.sheet, plan))
        document.line(from, to, {0.15, 0.4, {}});
    }
    document.framed({plan.slot(place), 1, plan.turned}, [&] {
      draw_card(document, options.card, texts[i], cards[i].code,
                static_cast<int>(cards[i].woods.size()));
    });
  }
  document.save(path);
}

}  // namespace trencher::paper
