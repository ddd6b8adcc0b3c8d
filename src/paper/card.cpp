#include "paper/card.h"

#include <algorithm>
#include <optional>
#include <stdexcept>

#include "domain/error.h"
#include "paper/card_layout.h"
#include "paper/card_text.h"
#include "paper/document.h"
#include "paper/sheet.h"

namespace trencher::paper {

namespace {

struct CardRun {
  Size card;
  std::vector<LaidCard> laid;
};

// Every card at that size; nothing where one of them does not fit.
std::optional<CardRun> run_at(Document& document, Size size, const std::vector<CardText>& texts) {
  CardRun run{size, {}};
  for (const CardText& text : texts) {
    std::optional<LaidCard> laid = lay_card(document, size, text);
    if (!laid) return {};
    run.laid.push_back(std::move(*laid));
  }
  return run;
}

// At the size asked for or the next larger one.
CardRun smallest_run(Document& document, Size asked, const std::vector<CardContent>& cards,
                     const std::vector<CardText>& texts) {
  const auto sizes = card_sizes();
  const auto first = std::find_if(sizes.begin(), sizes.end(),
                                  [&](const CardSize& one) { return one.size == asked; });
  for (auto at = first; at != sizes.end(); ++at)
    if (auto run = run_at(document, at->size, texts)) return std::move(*run);
  for (std::size_t i = 0; i < texts.size(); ++i)
    if (!lay_card(document, sizes.back().size, texts[i]))
      refuse_card(document, sizes.back().size, texts[i], cards[i].code);
  throw std::logic_error("Each card fits, but not all together.");
}

class Sheets {
 public:
  Sheets(Document& document, const std::vector<CardContent>& cards, const CardRun& run)
      : document_(document),
        cards_(cards),
        run_(run),
        plan_(plan_sheet(document.sheet(), run.card)),
        backs_(std::any_of(run.laid.begin(), run.laid.end(),
                           [](const LaidCard& card) { return card.sides.size() > 1; })) {}

  bool backs() const { return backs_; }

  void draw() {
    const auto step = static_cast<std::size_t>(plan_.cards());
    for (std::size_t first = 0; first < cards_.size(); first += step) {
      draw_sheet(first, 0);
      if (backs_) draw_sheet(first, 1);
    }
  }

 private:
  void draw_sheet(std::size_t first, std::size_t side) {
    document_.add_page();
    if (side == 0)
      for (const auto& [from, to] : cut_marks(document_.sheet(), plan_))
        document_.line(from, to, {0.15, 0.4, {}});
    for (int place = 0; place < plan_.cards(); ++place) {
      const std::size_t number = first + static_cast<std::size_t>(place);
      if (number >= cards_.size() || run_.laid[number].sides.size() <= side) continue;
      const LaidCard& card = run_.laid[number];
      document_.framed(
          {plan_.slot(side == 0 ? place : plan_.behind(place)), 1, plan_.turned, side == 1}, [&] {
            card.setting.draw(document_, card.sides[side], cards_[number].code,
                              static_cast<int>(cards_[number].woods.size()));
          });
    }
  }

  Document& document_;
  const std::vector<CardContent>& cards_;
  const CardRun& run_;
  SheetPlan plan_;
  bool backs_;
};

}  // namespace

int cards_per_sheet(Size sheet, Size card) { return plan_sheet(sheet, card).cards(); }

CardsWritten write_cards(const std::vector<CardContent>& cards, const CardOptions& options,
                         const std::filesystem::path& path) {
  if (cards.empty()) throw Error::request("There is no piece to print a care card for.");
  std::vector<CardText> texts;
  for (const CardContent& card : cards) texts.push_back(card_text(card));
  Document document(options.sheet, texts.front().document, options.made_at);
  const CardRun run = smallest_run(document, options.card, cards, texts);
  Sheets sheets(document, cards, run);
  sheets.draw();
  document.save(path);
  return {run.card, sheets.backs()};
}

}  // namespace trencher::paper
