#include "paper/card.h"

#include <algorithm>
#include <map>
#include <optional>
#include <stdexcept>

#include "domain/error.h"
#include "paper/card_layout.h"
#include "paper/card_text.h"
#include "paper/document.h"
#include "paper/qr.h"
#include "paper/sheet.h"

namespace trencher::paper {
namespace {

// What cards say that differ only in their code. Figures are as wide as one another, so that
// codes of one form take the same room.
struct CardDesign {
  CardText text;  // with the first one's code
  std::vector<std::string> keys;
  std::string first_code;
  std::size_t language = 0;
  int woods = 0;
  LaidCard laid;
};

CardContent form_of(CardContent card) {
  for (char& c : card.code)
    if (c >= '0' && c <= '9') c = '0';
  return card;
}

struct Card {
  std::size_t design;
  std::string code;
};

// The cards of one file.
class Sheets {
 public:
  Sheets(Document& document, Size size, const std::vector<CardDesign>& designs,
         const std::vector<Words>& words, bool backs)
      : document_(document),
        size_(size),
        designs_(designs),
        words_(words),
        plan_(plan_sheet(document.sheet(), size)),
        backs_(backs) {}

  void draw(std::span<const Card> cards, const Cards::Told& told) {
    const auto step = static_cast<std::size_t>(plan_.cards());
    for (std::size_t first = 0; first < cards.size(); first += step) {
      const auto on_sheet = cards.subspan(first, std::min(step, cards.size() - first));
      codes_.clear();
      for (const Card& card : on_sheet) codes_.emplace_back(card.code);
      draw_sheet(on_sheet, 0);
      if (backs_) draw_sheet(on_sheet, 1);
      if (told) told(first + on_sheet.size());
    }
  }

 private:
  void draw_sheet(std::span<const Card> cards, std::size_t side) {
    document_.add_page();
    if (side == 0) draw_cut_marks();
    for (std::size_t i = 0; i < cards.size(); ++i) {
      const Card& card = cards[i];
      if (designs_[card.design].laid.sides.size() <= side) continue;
      const int place = static_cast<int>(i);
      document_.framed(
          {plan_.slot(side == 0 ? place : plan_.behind(place)), 1, plan_.turned, side == 1},
          [&] { draw_card(card, codes_[i], side); });
    }
  }

  void draw_cut_marks() {
    if (!cut_marks_)
      cut_marks_ = document_.stamp(document_.sheet(), [&] {
        for (const auto& [from, to] : cut_marks(document_.sheet(), plan_))
          document_.line(from, to, {0.15, 0.4, {}});
      });
    document_.draw(*cut_marks_);
  }

  // The design, set; the next cards and the back of the sheet probably share it.
  const CardSetting& setting(std::size_t number) {
    const auto known = settings_.find(number);
    if (known != settings_.end()) return known->second;
    if (settings_.size() > 2 * static_cast<std::size_t>(plan_.cards())) settings_.clear();
    const CardDesign& design = designs_[number];
    return settings_.try_emplace(number, document_, size_, design.text, design.laid.type)
        .first->second;
  }

  void draw_card(const Card& card, const QrCode& code, std::size_t side) {
    const CardDesign& design = designs_[card.design];
    const CardSide& what = design.laid.sides[side];
    const CardSetting& set = setting(card.design);
    place(bands_, design.woods, [&] { set.draw_band(document_, design.woods); });
    place(stamps_, std::pair(card.design, side), [&] { set.draw_alike(document_, what); });
    set.draw_code(document_, what, code_sentence(words_[design.language], card.code), code);
  }

  // Stamps what is drawn on cards again and again.
  template <typename Key>
  void place(std::map<Key, Stamp>& stamps, const Key& key, const std::function<void()>& body) {
    auto found = stamps.find(key);
    if (found == stamps.end()) found = stamps.emplace(key, document_.stamp(size_, body)).first;
    document_.draw(found->second);
  }

  Document& document_;
  Size size_;
  const std::vector<CardDesign>& designs_;
  const std::vector<Words>& words_;
  SheetPlan plan_;
  bool backs_;
  std::optional<Stamp> cut_marks_;
  std::map<int, Stamp> bands_;                                   // by how many woods
  std::map<std::pair<std::size_t, std::size_t>, Stamp> stamps_;  // by design and side
  std::map<std::size_t, CardSetting> settings_;                  // by design
  std::vector<QrCode> codes_;                                    // of the cards on the sheet
};

}  // namespace

struct Cards::Deck {
  CardOptions options;
  std::map<CardContent, std::size_t> known;  // designs by their form
  std::vector<CardDesign> designs;
  std::vector<std::string> languages;
  std::vector<Words> words;  // of each language
  std::vector<Card> cards;

  std::size_t language(const std::string& id) {
    const auto found = std::find(languages.begin(), languages.end(), id);
    if (found == languages.end()) {
      words.emplace_back("care-card", id);
      languages.push_back(id);
      return languages.size() - 1;
    }
    return static_cast<std::size_t>(found - languages.begin());
  }

  // Whether all fit cards of that size.
  bool lay(Document& document, Size size) {
    for (CardDesign& design : designs) {
      std::optional<LaidCard> laid = lay_card(document, size, design.text);
      if (!laid) return false;
      design.laid = std::move(*laid);
    }
    return true;
  }

  // At the size asked for or the next larger one.
  Size lay_all(Document& document) {
    const auto sizes = card_sizes();
    for (auto at = std::find_if(sizes.begin(), sizes.end(),
                                [&](const CardSize& one) { return one.size == options.card; });
         at != sizes.end(); ++at)
      if (lay(document, at->size)) return at->size;
    for (const CardDesign& design : designs)
      if (!lay_card(document, sizes.back().size, design.text))
        refuse_card(document, sizes.back().size, design.text, design.first_code);
    throw std::logic_error("Each card fits, but not all together.");
  }
};

int cards_per_sheet(Size sheet, Size card) { return plan_sheet(sheet, card).cards(); }

Cards::Cards(const CardOptions& options) : deck_(new Deck{options, {}, {}, {}, {}, {}}) {}

Cards::~Cards() = default;

std::size_t Cards::count() const { return deck_->cards.size(); }

Cards::Design Cards::design_of(const CardContent& card) {
  Deck& deck = *deck_;
  const auto [found, is_new] = deck.known.try_emplace(form_of(card), deck.designs.size());
  if (is_new) {
    CardDesign made;
    made.text = card_text(card);
    made.keys = printed_keys(made.text);
    made.first_code = card.code;
    made.language = deck.language(card.language);
    made.woods = static_cast<int>(card.woods.size());
    deck.designs.push_back(std::move(made));
  }
  return Design{found->second};
}

const std::vector<std::string>& Cards::printed_lines(Design design) const {
  return deck_->designs.at(static_cast<std::size_t>(design)).keys;
}

void Cards::add(Design design, const std::string& code) {
  deck_->cards.push_back({static_cast<std::size_t>(design), code});
}

CardsWritten Cards::write(const Take& take, const Told& told) {
  Deck& deck = *deck_;
  const std::span<const Card> cards = deck.cards;
  if (cards.empty()) throw Error::request("There is no piece to print a care card for.");
  const auto start = [&] {
    const std::string& title = deck.designs[cards.front().design].text.document;
    return std::make_unique<Document>(deck.options.sheet, title, deck.options.made_at);
  };
  std::unique_ptr<Document> document = start();
  CardsWritten out;
  out.card = deck.lay_all(*document);
  out.backs = std::any_of(deck.designs.begin(), deck.designs.end(),
                          [](const CardDesign& design) { return design.laid.sides.size() > 1; });
  const auto per_sheet = static_cast<std::size_t>(cards_per_sheet(deck.options.sheet, out.card));
  out.cards_a_file = std::min(cards.size(), most_sheets * per_sheet);
  const std::size_t files = (cards.size() + out.cards_a_file - 1) / out.cards_a_file;
  for (std::size_t file = 0; file < files; ++file) {
    if (!document) document = start();
    const std::size_t first = file * out.cards_a_file;
    Sheets sheets(*document, out.card, deck.designs, deck.words, out.backs);
    sheets.draw(cards.subspan(first, std::min(out.cards_a_file, cards.size() - first)),
                [&](std::size_t drawn) {
                  if (told) told(first + drawn);
                });
    take(file, files, document->bytes());
    document.reset();
  }
  return out;
}

}  // namespace trencher::paper
